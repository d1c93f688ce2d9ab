"""The rule of the leaks: what is short of a good pitch, and which of it costs most."""

from typing import Any

import pytest
from starters import starter

from latebreak.service.judging.estimates import Estimate
from latebreak.service.plain import plain
from latebreak.service.quantities import CLOCK_SPREAD
from latebreak.service.questions.leaks import CALLED, for_the_better, good_values, leaks_among, short_levers
from latebreak.service.scenario import Scenario, from_mapping
from latebreak.service.scenario.level_defaults import default_spread

LEVELS = ("youth", "high_school", "college", "professional")
SHORT = {
    "speed_mph": (72.0, 79.0),
    "spin_rpm": (2200.0, 2550.0),
    "efficiency_percent": (60.0, 90.0),
    CLOCK_SPREAD: (9.0, 6.0),
}


def scenario(hand: str = "right", level: str = "professional", **curve: Any) -> Scenario:
    mapping = starter()
    mapping["pitcher"] |= {"hand": hand, "level": level}
    mapping["pitch"]["curve"] |= curve
    return from_mapping(mapping).scenario


def gains(*values: float, error: float = 0.1) -> dict[str, Estimate]:
    return {key: Estimate(value, error) for key, value in zip(SHORT, values, strict=False)}


# --- which of them is a leak ----------------------------------------------------------------------------------------
def test_a_fifth_or_more_is_a_leak() -> None:
    """Of 10 together: 2.0 is a fifth, 1.9 less."""
    assert set(leaks_among(SHORT, gains(2.0, 8.0))) == {"speed_mph", "spin_rpm"}
    assert set(leaks_among(SHORT, gains(1.9, 8.1))) == {"spin_rpm"}


def test_the_largest_first_with_its_share() -> None:
    found = leaks_among(SHORT, gains(3.0, 0.5, 5.0, 1.5))
    assert list(found) == ["efficiency_percent", "speed_mph"]
    assert [leak.share_percent for leak in found.values()] == pytest.approx([50.0, 30.0])
    assert [leak.called for leak in found.values()] == ["dirty axis", "speed"]
    assert plain(found["efficiency_percent"]) == {
        "called": "dirty axis",
        "value": 60.0,
        "good_value": 90.0,
        "gain": {"value": 5.0, "sampling_error": 0.1},
        "share_percent": pytest.approx(50.0),
        "measure": "miss_chance_percent",
    }


def test_a_gain_whose_interval_holds_nothing_is_no_leak() -> None:
    sure, unsure = Estimate(3.0, 0.1, 0.5, 5.0), Estimate(3.0, 0.1, -0.5, 5.0)
    assert set(leaks_among(SHORT, {"speed_mph": sure, "spin_rpm": unsure})) == {"speed_mph"}


def test_a_gain_is_a_change_for_the_better() -> None:
    """Less clean contact is better: its change is turned over, with its interval."""
    change = Estimate(-2.0, 0.1, -3.0, -0.5)
    assert for_the_better(change, "clean_contact_percent") == Estimate(2.0, 0.1, 0.5, 3.0)
    assert for_the_better(change, "miss_chance_percent") == change
    found = leaks_among(SHORT, {"speed_mph": Estimate(2.0, 0.1, 0.5, 3.0)}, "clean_contact_percent")
    assert found["speed_mph"].measure == "clean_contact_percent"


def test_a_gain_within_sampling_error_is_no_leak() -> None:
    """Two standard errors (chosen)."""
    assert leaks_among(SHORT, gains(1.0, error=0.55)) == {}
    assert set(leaks_among(SHORT, gains(1.0, error=0.45))) == {"speed_mph"}


def test_a_move_that_costs_takes_nothing_from_the_others() -> None:
    """A harder pitch that is missed less gives nothing; the dirty axis beside it still gives all there is."""
    found = leaks_among(SHORT, gains(-5.0, 0.3, 2.0))
    assert list(found) == ["efficiency_percent"]
    assert found["efficiency_percent"].share_percent == pytest.approx(100.0 * 2.0 / 2.3)


def test_no_share_is_above_the_whole() -> None:
    for values in ((2.0, -1.0), (0.5, -0.4, 1.0, -3.0), (1.0,)):
        assert all(0.0 < leak.share_percent <= 100.0 for leak in leaks_among(SHORT, gains(*values)).values())


def test_nothing_gained_is_no_leak() -> None:
    assert leaks_among(SHORT, {}) == {}
    assert leaks_among(SHORT, gains(0.0, 0.0, error=0.0)) == {}
    assert leaks_among(SHORT, gains(-1.0, -2.0)) == {}


def test_a_single_throw_tells_no_leak() -> None:
    """Its sampling error is not known."""
    assert leaks_among(SHORT, gains(5.0, error=float("nan"))) == {}


# --- what is short --------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("clock", [195.0, 202.5, 210.0, 217.5, 225.0])
def test_the_axis_of_the_two_curves(level: str, clock: float) -> None:
    """76 % is short of a good curve at every level, 96 % of none: the table, without a special case."""
    curve = {"break_clock": None} | {"break_clock_deg": clock}
    dirty, clean = (
        short_levers(without_clock(level, speed_mph=v, spin_rpm=w, efficiency_percent=e, **curve), "curve")
        for v, w, e in ((72.0, 2200, 76), (79.0, 2700, 96))
    )
    assert dirty["efficiency_percent"] == (76.0, pytest.approx(90.0))
    assert "efficiency_percent" not in clean
    assert not {"speed_mph", "spin_rpm"} & set(clean)  # at or above the usual of a professional


def without_clock(level: str, **curve: Any) -> Scenario:
    mapping = starter()
    mapping["pitcher"]["level"] = level
    entry = mapping["pitch"]["curve"] | curve
    mapping["pitch"]["curve"] = {key: value for key, value in entry.items() if value is not None}
    return from_mapping(mapping).scenario


@pytest.mark.parametrize(("speed", "rate"), [(78.0, 2549), (79.28, 2529)])
@pytest.mark.parametrize("efficiency", [60.0, 67.0, 80.0])
def test_a_league_mean_curve_has_no_dirty_axis(speed: float, rate: float, efficiency: float) -> None:
    """Speed and spin rate: professional means of a day in 2020 (computed) and of 2024 (public table, secondary)."""
    curve: dict[str, Any] = {"speed_mph": speed, "spin_rpm": rate, "break_clock": "7:15"}
    mean = scenario(**curve, efficiency_percent=efficiency)
    assert "efficiency_percent" not in short_levers(mean, "curve")
    for change in ({"efficiency_percent": 55}, {"speed_mph": 76.0}, {"spin_rpm": 2300}):
        other = scenario(**({**curve, "efficiency_percent": efficiency} | change))
        assert "efficiency_percent" in short_levers(other, "curve"), change


def test_only_a_shortfall_counts() -> None:
    good = good_values(scenario(), "curve")
    better = scenario(
        speed_mph=good["speed_mph"] + 1.0,
        spin_rpm=good["spin_rpm"] + 50.0,
        efficiency_percent=good["efficiency_percent"] + 2.0,
        spread={"break_clock_deg": good[CLOCK_SPREAD] - 0.5},
    )
    assert short_levers(better, "curve") == {}


def test_a_steady_axis_is_one_that_scatters_less() -> None:
    usual = default_spread("professional", "breaking")["break_clock_deg"]
    assert good_values(scenario(), "curve")[CLOCK_SPREAD] == pytest.approx(0.8 * usual)
    assert CLOCK_SPREAD in short_levers(scenario(spread={"break_clock_deg": 0.9 * usual}), "curve")
    assert CLOCK_SPREAD not in short_levers(scenario(spread={"break_clock_deg": 0.7 * usual}), "curve")


@pytest.mark.parametrize("level", LEVELS)
def test_a_left_hander_is_measured_by_the_mirrored_table(level: str) -> None:
    right, left = scenario("right", level), scenario("left", level, break_clock="5:00")
    assert good_values(left, "curve") == pytest.approx(good_values(right, "curve"))


def test_every_leak_has_its_word() -> None:
    assert set(CALLED) == set(good_values(scenario(), "curve"))
    assert set(CALLED.values()) == {"speed", "spin rate", "dirty axis", "wandering axis"}
