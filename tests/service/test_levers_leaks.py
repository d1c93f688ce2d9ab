"""The question `levers`: where the leak is, by the rule, and in words."""

from typing import Any

import pytest
from levered import asked, compared
from starters import Json, in_the_mirror, starter

from latebreak.service.judging.estimates import Estimate
from latebreak.service.quantities import Reader
from latebreak.service.questions import compare
from latebreak.service.questions.leaks import CALLED, Leak, short_levers
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.questions.levers_words import why_leaks
from latebreak.service.scenario import from_mapping


def bullpen(level: str, hand: str = "right", **curve: Any) -> Json:
    """A curve behind a 92 mph fastball; sides are mirrored for a left-hander."""
    own = 1.0 if hand == "right" else -1.0
    mapping = starter(**curve)
    mapping["pitcher"] = {"hand": hand, "level": level}
    mapping["pitch"]["fastball"] |= {"speed_mph": 92.0, "spin_rpm": 2300, "efficiency_percent": 95}
    if own < 0.0:
        mapping = in_the_mirror(mapping)
    return mapping


DIRTY: dict[str, Any] = {"speed_mph": 72.0, "spin_rpm": 2200, "efficiency_percent": 76}
CLEAN: dict[str, Any] = {"speed_mph": 79.0, "spin_rpm": 2700, "efficiency_percent": 96}


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("level", ["youth", "high_school", "college", "professional"])
def test_the_leaks_are_those_of_the_rule(level: str, hand: str) -> None:
    """72 mph, 2,200 rpm, 76 % against 79 mph, 2,700 rpm, 96 %. What each move is worth is asked of `compare` here.

    A leak is short of a good pitch, gives a fifth or more of what all such moves give, and more than two sampling
    errors. The clean curve is short of nothing but a steady axis.
    """
    mapping = bullpen(level, hand, **DIRTY)
    found = asked(mapping, throws=2000)["result"]
    scenario = from_mapping(mapping).scenario
    short = short_levers(scenario, "curve")
    assert short["efficiency_percent"] == (pytest.approx(76.0), pytest.approx(90.0))
    before = compared(mapping, throws=2000)["miss_chance_percent"]["value"]
    gains = {}
    for key, (_, good) in short.items():
        entry = BY_KEY[key].moved(scenario.pitch["curve"], hand, good)  # type: ignore[arg-type]
        better = scenario.model_copy(update={"pitch": {**scenario.pitch, "curve": entry}})
        after = compare(better, throws=2000, intervals=False).result.pitches["curve"]["miss_chance_percent"].value
        gains[key] = after - before
    together = sum(max(gain, 0.0) for gain in gains.values())
    for key, leak in found["leaks"].items():
        # the laws of the moves are fitted together: 0.02 points
        assert leak["gain"]["value"] == pytest.approx(gains[key], abs=0.02)
        assert leak["gain"]["value"] > 2.0 * leak["gain"]["sampling_error"]
        assert leak["share_percent"] == pytest.approx(100.0 * gains[key] / together, abs=2.0)
        assert leak["called"] in " ".join(found["why"]).lower()
    for key in set(gains) - set(found["leaks"]):
        assert gains[key] < 0.2 * together + 0.1  # or within the sampling error, which is smaller than that
    clean = asked(bullpen(level, hand, **CLEAN), throws=2000)["result"]
    assert set(clean["leaks"]) <= {"spread.break_clock_deg"}


@pytest.mark.parametrize("level", ["college", "professional"])
def test_a_slow_curve_leaks_speed(level: str) -> None:
    """A curve of 66 mph is missed less than a good one of its level: league records, +1.2 points per mph above 76."""
    result = asked(bullpen(level, **(CLEAN | {"speed_mph": 66.0})), throws=1000)["result"]
    assert next(iter(result["leaks"])) == "speed_mph"
    assert "Speed: 66.0 mph" in " ".join(result["why"])
    assert "points of misses" in " ".join(result["why"])


def test_each_word_of_the_leaks_can_be_said() -> None:
    scenario = from_mapping(bullpen("college", **DIRTY)).scenario
    stands = {
        "speed_mph": (72.0, 76.0, "Speed: 72.0 mph, a good college pitch of its kind has 76.0 mph"),
        "spin_rpm": (2200.0, 2337.0, "Spin rate: 2200 rpm, a good college pitch of its kind has 2337 rpm"),
        "efficiency_percent": (76.0, 90.0, "Dirty axis: 76 % of the spin bends the flight, of a good college pitch"),
        "spread.break_clock_deg": (8.0, 5.0, "Wandering axis: the break clock scatters by 8.0 deg, of a good college"),
    }
    for key, (now, good, words) in stands.items():
        leak = Leak(CALLED[key], now, good, Estimate(2.14, 0.1), 61.0)
        (said,) = map(str, why_leaks(scenario, "curve", {key: leak}, Reader()))
        assert said.startswith(f"1. {words}")
        assert said.endswith("it gains 2.1 points of misses (61 % of what all such moves give together).")


def test_without_a_leak_that_is_said() -> None:
    result = asked(bullpen("college", **CLEAN, spread={"break_clock_deg": 2.0}))["result"]
    assert result["leaks"] == {}
    assert result["why"][0].startswith("No leak")
