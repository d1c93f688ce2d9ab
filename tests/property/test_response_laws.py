"""Laws of the answers of `levers` and `reach`, on random scenarios: a road that is taken leads to the goal."""

import copy
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from starters import with_lever

from latebreak.service.judging.measures import MEASURES
from latebreak.service.questions import CompareResult, compare, fly, reach
from latebreak.service.questions.lever import levers_of
from latebreak.service.questions.road import Road
from latebreak.service.scenario import from_mapping
from latebreak.service.scenario.pitch_entry import BALL_KEYS, SPREAD_KEYS

Json = dict[str, Any]

THROWS = 640
#: Shares of throws or pitches that reach an event jump from one value to the next: no goals for a road.
GOALS = [key for key in MEASURES if not key.endswith("reached_percent")]
#: Moments, whose looks are drawn one by one.
LOOKED = ("tunnel_exit", "recognition", "break_onset")
#: mph of a fastball, rpm as a share of a professional's, ft from rubber to plate, by level
#: (chosen; 50 ft: Pitch Smart, read).
LEVELS = {
    "youth": (62.0, 0.65, 50.0),
    "high_school": (82.0, 0.85, 60.5),
    "college": (89.0, 0.93, 60.5),
    "professional": (94.0, 1.0, 60.5),
}


# --- random scenarios -----------------------------------------------------------------------------------------------
def random_scenario(rng: np.random.Generator) -> Json:
    """A fastball and a breaking ball of any level and hand, aimed or launched, measured by efficiency or gyro angle."""
    level, hand = str(rng.choice(list(LEVELS))), str(rng.choice(["right", "left"]))
    own = 1.0 if hand == "right" else -1.0
    fast, share, rubber = LEVELS[level]
    speed, clock = fast * rng.uniform(0.96, 1.04), rng.uniform(190.0, 270.0)
    release = {
        "release_side_ft": -own * rng.uniform(0.8, 2.6),
        "release_height_ft": rng.uniform(4.8, 6.4) if level != "youth" else rng.uniform(4.3, 5.2),
        "extension_ft": rng.uniform(5.2, 6.6) if level != "youth" else rng.uniform(3.8, 4.8),
    }
    curve: Json = {
        "speed_mph": speed * rng.uniform(0.8, 0.92),
        "spin_rpm": share * rng.uniform(1900.0, 2900.0),
        "break_clock_deg": clock if hand == "right" else 360.0 - clock,
        "target_side_ft": rng.uniform(-0.7, 0.7),
        "target_height_ft": rng.uniform(1.4, 2.6),
        **release,
    }
    if rng.random() < 0.3:
        curve["gyro_deg"] = own * rng.uniform(20.0, 65.0) * rng.choice([1.0, 1.0, -1.0])
    else:
        curve["efficiency_percent"] = rng.uniform(40.0, 98.0)
        if rng.random() < 0.2:
            curve["gyro_sense"] = "reverse"
    fastball = {
        "role": "fastball",
        "speed_mph": speed,
        "spin_rpm": share * rng.uniform(2100.0, 2500.0),
        "break_clock_deg": own * rng.uniform(10.0, 45.0),
        "efficiency_percent": rng.uniform(88.0, 98.0),
        "target_side_ft": rng.uniform(-0.4, 0.4),
        "target_height_ft": rng.uniform(2.2, 3.2),
        **release,
    }
    mapping: Json = {
        "title": "random",
        "seed": int(rng.integers(1, 1 << 30)),
        "throws": THROWS,
        "air": {"temperature_c": rng.uniform(5.0, 35.0), "altitude_m": rng.uniform(0.0, 1600.0)},
        "field": {"rubber_to_plate_ft": rubber},
        "pitcher": {"hand": hand, "level": level},
        "pitch": {"fastball": fastball, "curve": curve},
        "hitter": {"bats": str(rng.choice(["right", "left"])), "familiarity": rng.uniform(0.0, 1.0)},
    }
    if rng.random() < 0.2:
        aimed = fly(from_mapping(mapping), throws=8).result.pitches["curve"].quantities
        del curve["target_side_ft"], curve["target_height_ft"]
        curve |= {key: aimed[key].mean for key in ("launch_elevation_deg", "launch_azimuth_deg")}
    return mapping


# --- there and back -------------------------------------------------------------------------------------------------
@dataclass(frozen=True)
class Trip:
    """A road that was taken, and where it led."""

    number: int
    measure: str
    kind: str
    lever: str
    road: Road
    goal: float
    there: float
    error: float
    slack: float

    @property
    def arrives(self) -> bool:
        return abs(self.there - self.goal) <= self.error + self.slack

    def __str__(self) -> str:
        off = f"{self.there:.6g} for {self.goal:.6g}, error {self.error:.2g}"
        return f"scenario {self.number}, {self.kind} {self.measure} by {self.lever} to {self.road.new_value:.6g}: {off}"


#: What two fits of the force laws leave of a measure: 0.002 in at the plate each (the engine's promise); of a moment, a
#: hundredth of a look.
SLACK = {"in": 0.004, "ft": 0.002, "ms": 0.02, "percent": 0.02, "arcmin": 0.2}
SLACK_OF_MOMENTS = {"ms": 0.1, "ft": 0.01}


def asked(mapping: Json) -> CompareResult:
    return compare(from_mapping(mapping), pitches=["curve"], intervals=False).result


def goals(rng: np.random.Generator, mapping: Json, measure: str) -> tuple[str, str | float, list[str], Json]:
    """A goal that one lever reaches: what the measure is when that lever is moved by up to half of what it may be.

    As a value, as a change, or as another pitch that is like the moved one.
    """
    scenario = from_mapping(mapping).scenario
    entry, hand = scenario.pitch["curve"], scenario.pitcher.hand
    levers = list(levers_of(entry))
    lever = levers[int(rng.integers(len(levers)))]
    low, high = lever.bounds(scenario, "fastball", "curve")
    now = lever.stands_at(entry, hand)
    far = rng.uniform(-0.5, 0.5) * ((high - now) if rng.random() < 0.5 else (now - low))
    moved = with_lever(mapping, lever.key, float(np.clip(now + far, low, high)))
    others = [one.key for one in rng.permutation(np.array(levers, dtype=object)) if one is not lever]
    kind = str(rng.choice(["value", "change", "like"]))
    before, after = (asked(one).pitches["curve"][measure].value for one in (mapping, moved))
    if kind == "like":
        mapping = copy.deepcopy(mapping)
        mapping["pitch"]["other"] = moved["pitch"]["curve"]
        return kind, "like:other", [lever.key, *others[:2]], mapping
    if kind == "change":
        return kind, f"{after - before:+.12g}", [lever.key, *others[:2]], mapping
    return kind, f"={after:.12g}", [lever.key, *others[:2]], mapping


def trips(number: int) -> tuple[list[Trip], dict[str, Road], str]:
    """Ask for roads in a random scenario and take each: those taken, those that are none, and the goal's own lever."""
    rng = np.random.default_rng([20251, number])
    mapping = random_scenario(rng)
    measure = GOALS[int(rng.integers(len(GOALS)))]
    kind, goal, by, mapping = goals(rng, mapping, measure)
    answer = reach(from_mapping(mapping), pitch="curve", measure=measure, goal=goal, by=by, intervals=False).result
    taken: list[Trip] = []
    not_taken: dict[str, Road] = {}
    before = compare(from_mapping(mapping), intervals=False).result
    for key, road in answer.levers.items():
        if not road.reachable:
            not_taken[key] = road
            continue
        after = compare(from_mapping(with_lever(mapping, key, road.new_value)), intervals=False).result
        there, its = after.pitches["curve"][measure], after.estimators["curve"][measure]
        error = there.sampling_error
        if kind == "change":
            error = before.estimators["curve"][measure].beside(its).error_of_change(1)
        elif kind == "like":
            error = its.beside(before.estimators["other"][measure]).error_of_change(1)
        slack = (SLACK_OF_MOMENTS if measure.startswith(LOOKED) else SLACK)[measure.rsplit("_", 1)[1]]
        taken.append(Trip(number, measure, kind, key, road, answer.goal_value, there.value, error, slack))
    return taken, not_taken, by[0]


def hold(numbers: range) -> None:
    """Take every road of some scenarios; say which did not arrive, and which should have been there.

    Arrives: within one sampling error of how far it misses (of the measure for a value, of the difference for a change
    and for another pitch) and what two fits of the laws leave. The search stops at a quarter of the error; a measure
    that jumps (throws change their type, looks their answer) may leave more, of which it accepts two errors. So all
    arrive within two, and 98 % within one. The lever that the goal was made with has a road; where it is weak, the few
    throws of the first look may not see it: one in ten at the most, of eight one.
    """
    found = [trips(number) for number in numbers]
    taken = [trip for some, _, _ in found for trip in some]
    late = [str(trip) for trip in taken if not trip.arrives]
    unseen = [
        f"scenario {n}, {own}: {lost[own].reason}"
        for n, (_, lost, own) in zip(numbers, found, strict=True)
        if own in lost
    ]
    said = "\n".join(
        [f"{len(taken)} roads taken, {len(late)} did not arrive:", *late, "own lever without a road:", *unseen]
    )
    print(said)
    assert all(abs(trip.there - trip.goal) <= 2.0 * trip.error + trip.slack for trip in taken), said
    assert len(late) <= 0.02 * len(taken), said
    # misses rise and fall along some levers, and the grid of the search can pass a narrow top by
    assert len(unseen) <= max(2, 0.1 * len(numbers)), said
    assert all(road.reason for _, lost, _ in found for road in lost.values()), said
    assert len(taken) >= 1.5 * len(numbers), said  # so that it is not won by finding no road


def test_a_road_that_is_taken_leads_to_the_goal() -> None:
    """Eight random scenarios; the slow test takes 200."""
    hold(range(8))


@pytest.mark.slow
def test_a_road_that_is_taken_leads_to_the_goal_200_times() -> None:
    hold(range(200))


def test_farther_goals_lie_farther_along_the_road() -> None:
    """Late break rises with the spin rate: so do the spin rates that goals ask for, one step for each."""
    rng = np.random.default_rng(7)
    for _ in range(2):
        mapping = random_scenario(rng) | {"throws": 160}
        rates = []
        for goal in ("-0.1", "+0", "+0.1", "+0.2"):
            found = reach(
                from_mapping(mapping),
                pitch="curve",
                measure="late_break_in",
                goal=goal,
                by=["spin_rpm"],
                intervals=False,
            ).result.levers["spin_rpm"]
            assert found.reachable
            rates.append(found.new_value)
        assert (np.diff(rates) > 0.0).all()
        assert rates[1] == mapping["pitch"]["curve"]["spin_rpm"]


def test_a_mirrored_pitcher_has_mirrored_roads() -> None:
    """Without scatter, before a hitter from the other box: the same changes, a clock and a side turned over."""
    rng = np.random.default_rng(11)
    mapping = random_scenario(rng) | {"throws": 16}
    mapping["pitcher"]["hand"], mapping["hitter"]["bats"] = "right", "right"
    for entry in mapping["pitch"].values():
        entry["spread"] = dict.fromkeys((*SPREAD_KEYS, *BALL_KEYS), 0.0)
    other = copy.deepcopy(mapping)
    other["pitcher"]["hand"], other["hitter"]["bats"] = "left", "left"
    for entry in other["pitch"].values():
        entry["break_clock_deg"] = 360.0 - entry["break_clock_deg"] % 360.0
        for key in {"release_side_ft", "target_side_ft", "launch_azimuth_deg", "gyro_deg"} & set(entry):
            entry[key] *= -1.0
    by = ["speed_mph", "spin_rpm", "efficiency_percent", "break_clock_deg", "release_side_ft"]
    here, there = (
        reach(from_mapping(each), pitch="curve", measure="path_gap_at_100ms_arcmin", goal="+1", by=by, intervals=False)
        for each in (mapping, other)
    )
    for key, road in here.result.levers.items():
        mirrored = there.result.levers[key]
        sign = -1.0 if key in {"break_clock_deg", "release_side_ft"} else 1.0
        assert mirrored.reachable == road.reachable, key
        if road.reachable:
            # the gap is met to 1e-6 of its size; the aim leaves as much
            assert sign * mirrored.change.value == pytest.approx(road.change.value, rel=1e-3, abs=1e-4), key
