"""Standard errors of the spread: they widen what is claimed, and change no value."""

import warnings
from math import isfinite
from typing import Any

import pytest
from starters import starter

from latebreak.service.questions import compare
from latebreak.service.scenario import from_mapping


def answer(error: dict[str, float]) -> Any:
    mapping = starter()
    mapping["pitch"]["twin"] = mapping["pitch"]["curve"] | {"efficiency_percent": 74}
    for name in ("curve", "twin"):
        mapping["pitch"][name]["spread_error"] = error
    return compare(from_mapping(mapping), throws=640).result


def test_an_uncertain_spread_makes_a_lead_less_sure() -> None:
    none, zero, wide = (answer(error) for error in ({}, {"gyro_deg": 0.0}, {"gyro_deg": 2.0}))
    for name in ("curve", "twin"):
        for key, estimate in none.pitches[name].items():
            assert zero.pitches[name][key] == estimate
            assert wide.pitches[name][key].value == estimate.value
    widths = []
    for one in (none, wide):
        curve, twin = (one.estimators[name]["miss_chance_percent"] for name in ("curve", "twin"))
        change = twin.beside(curve).change(0, since=1)
        widths.append(change.high - change.low)
    # what is not known of the hitter moves the lead too, and is in both
    assert widths[1] > 1.1 * widths[0]


@pytest.mark.parametrize("spread", [1.0, 0.01, 1e-320])
def test_an_error_above_its_spread_is_no_trouble(spread: float) -> None:
    """As of a column that hardly varies: 5 mph of error beside next to no spread."""
    mapping = starter()
    mapping["pitch"]["curve"] |= {"spread": {"speed_mph": spread}, "spread_error": {"speed_mph": 5.0}}
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        (found,) = compare(from_mapping(mapping), throws=64).result.pitches.values()
    for estimate in found.values():
        assert isfinite(estimate.value)
        assert estimate.low is not None
        assert isfinite(estimate.low)
