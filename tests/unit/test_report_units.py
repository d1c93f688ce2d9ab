"""Quantities in the units of the reader."""

import re

import pytest

from latebreak.service.questions import compare, fit, levers, reach
from latebreak.service.scenario.ready import ready_names
from latebreak.service.units import sentence, show_in

LEFT = re.compile(r"\d (?:ft|in|mph)\b")


@pytest.mark.parametrize(
    ("unit", "symbol", "factor"),
    [("ft", "m", 0.3048), ("in", "cm", 2.54), ("mph", "km/h", 1.609344)],  # exact by definition
)
def test_metric_twins(unit: str, symbol: str, factor: float) -> None:
    scale = show_in("metric", unit)
    assert (scale.symbol, scale.factor) == (symbol, pytest.approx(factor, rel=1e-12))
    assert (show_in("us", unit).symbol, show_in("us", unit).factor) == (unit, 1.0)


@pytest.mark.parametrize("unit", ["%", "ms", "rpm", "deg", "arcmin", "points"])
def test_what_is_the_same_everywhere(unit: str) -> None:
    assert (show_in("metric", unit).symbol, show_in("metric", unit).factor) == (unit, 1.0)


@pytest.mark.parametrize(
    ("us", "metric"),
    [
        (
            "it looks like the fastball until 40.7 ft from the plate and still breaks 2.2 in after the commit point",
            "it looks like the fastball until 12.41 m from the plate and still breaks 5.6 cm after the commit point",
        ),
        ("Faster by 1.8 mph (90 %: 1.0 to 2.6; chance 99 %).", "Faster by 2.9 km/h (90 %: 1.6 to 4.2; chance 99 %)."),
        ("Higher by 0.4 in (90 %: -0.1 to 0.9; chance 83 %)", "Higher by 1.0 cm (90 %: -0.3 to 2.3; chance 83 %)"),
        ("between 68.1 mph and 92.1 mph, with 3.2 in up", "between 109.6 km/h and 148.2 km/h, with 8.1 cm up"),
        ("moved 0.4 to 1.4 in", "moved 1.0 to 3.6 cm"),
        ("9.2 in against 3.2 in", "23.4 cm against 8.1 cm"),
        ("in 12 of 64 draws; 2,300 rpm; 5:45; 7.0 ms", "in 12 of 64 draws; 2,300 rpm; 5:45; 7.0 ms"),
        ("1,200 ft", "365.8 m"),
    ],
)
def test_sentences(us: str, metric: str) -> None:
    assert sentence(us, "metric") == metric
    assert sentence(us, "us") == us


@pytest.mark.parametrize("name", ready_names())
def test_no_sentence_keeps_a_us_unit(name: str) -> None:
    compared = compare(name, throws=64, intervals=False).result
    pitch = next(iter(compared.pitches))
    stepped = levers(name, pitch=pitch, measure="miss_chance_percent", throws=64, intervals=False).result
    roads = reach(name, pitch=pitch, measure="late_break_in", goal="+30", throws=64, intervals=False).result
    said = [*compared.why, *stepped.why, *(road.reason for road in roads.levers.values() if road.reason)]
    assert any(LEFT.search(one) for one in said)
    for one in said:
        assert not LEFT.search(sentence(one, "metric")), one


def test_no_sentence_of_a_change_keeps_one() -> None:
    early, late = "new-grip", "new-grip"
    moved = fit(early, base="before-the-bullpen", later=late, columns="new-grip").result.moved
    said = [one for sentences in moved.values() for one in sentences]
    assert said
    for one in said:
        assert not LEFT.search(sentence(one, "metric")), one
