"""What to work on: at most three roads to the goal, as a coach would say them, each with a small drawing."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from latebreak.service.judging.whole_mix import MIX
from latebreak.service.quantities import QUANTITIES, SPREAD_SCALE, Reader, change_of, value_of
from latebreak.service.questions import ReachResult
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.questions.reach_words import arrives_said
from latebreak.service.questions.road import Road
from latebreak.service.scenario import Scenario

#: Roads that are told, and how many of them at most while one may not be enough (chosen: what is remembered on the way
#: to the mound).
MOST_ROADS, _WHILE_UNSURE = 3, 2
#: What is said where no road gets there.
_GIVES_MOST, _GIVES_LITTLE = "This comes nearest:", "None of what was tried gives enough to matter."
#: Measures that are told as so many of a hundred: of what, which, and digits.
_OF_A_HUNDRED = {
    MIX: ("pitches", "strikes that nobody touches", 1),
    "miss_chance_percent": ("swings", "misses", 0),
}
#: Of the range of a lever: what counts as its end.
_AT_THE_END = 1e-3
#: Drawing: width of its scale in units of its view box, and room at both ends.
WIDTH, _ROOM = 300.0, 10.0


@dataclass(frozen=True)
class Drawn:
    """A road to be told.

    Attributes
    ----------
    what : str
        The change: "1.9 mph faster".
    where : str
        From where to where.
    sure : str
        How sure that is, in words with the interval.
    now, then : float
        Places on a scale over all that the lever may be, in units of the drawing.
    low, high : float or None
        Ends of the interval.
    ends : tuple of str
        What the scale's ends are.
    """

    what: str
    where: str
    sure: str
    now: float
    then: float
    low: float | None
    high: float | None
    ends: tuple[str, str]


@dataclass(frozen=True)
class WorkOn:
    """What to work on.

    Attributes
    ----------
    wanted : str
        What the measure is to be, and what it is.
    lead : str
        What the roads below it do.
    roads : list of Drawn
        That get there; else the one that gives most, if it gives what matters.
    arrives : bool
        Whether they get there.
    not_alone : str
        What does not get there alone.
    """

    wanted: str
    lead: str
    roads: list[Drawn]
    arrives: bool
    not_alone: str


def work_on(scenario: Scenario, reached: ReachResult, reader: Reader) -> WorkOn:
    """Choose and tell the roads; where none gets there, the one that gives most."""
    kept = nearest_first(scenario, reached)
    lead = "Any one of these gets there:" if len(kept) > 1 else "This gets there:"
    arrives = bool(kept)
    if not kept:
        kept = _gives_most(reached)
        lead = f"No change of one thing alone gets there. {_GIVES_MOST if kept else _GIVES_LITTLE}"
    told = [drawn(scenario, reached.pitch, reached.measure, key, reached.levers[key], reader) for key in kept]
    rest = [QUANTITIES[key].brief for key, road in reached.levers.items() if not _gets_there(road)]
    return WorkOn(_wanted(reached, reader), lead, told, arrives, ", ".join(rest))


def nearest_first(scenario: Scenario, reached: ReachResult) -> list[str]:
    """Choose the roads: of the levers that reach the goal alone, those of the fewest steps.

    One that may not be enough is told only where there are too few others.
    """
    entry, hand = scenario.pitch[reached.pitch], scenario.pitcher.hand
    now = {key: BY_KEY[key].stands_at(entry, hand) for key in reached.levers}
    there = {key: road for key, road in reached.levers.items() if _gets_there(road)}
    steps = sorted(there, key=lambda key: abs(there[key].change.value / BY_KEY[key].step))
    sure = [key for key in steps if not _may_not_do(there[key], now[key])][:MOST_ROADS]
    unsure = [key for key in steps if key not in sure and _may_not_do(there[key], now[key])]
    return [*sure, *unsure[: max(0, _WHILE_UNSURE - len(sure))]]


def _gives_most(reached: ReachResult) -> list[str]:
    """Return the lever that comes nearest to the goal, if that gives what matters."""
    wanted, now = reached.goal_value, reached.now.value
    matters = QUANTITIES[reached.measure].matters or 0.0
    left = {key: abs(wanted - road.measure_there) for key, road in reached.levers.items()}
    found = [key for key, miss in left.items() if miss <= abs(wanted - now) - matters]  # not of what is unknown
    return sorted(found, key=lambda key: left[key])[:1]


def _gets_there(road: Road) -> bool:
    """Whether a road ends at the goal before the lever does."""
    span = road.highest - road.lowest
    inside = road.lowest + _AT_THE_END * span < road.new_value < road.highest - _AT_THE_END * span
    return road.reachable and inside and isfinite(road.change.value)


def _wanted(reached: ReachResult, reader: Reader) -> str:
    now, goal = reached.now.value, reached.goal_value
    if reached.measure in _OF_A_HUNDRED:
        of, what, digits = _OF_A_HUNDRED[reached.measure]
        return f"Wanted: of 100 {of} {goal:.{digits}f} {what}, in place of {now:.{digits}f}."
    measure = QUANTITIES[reached.measure]
    wording = value_of(measure, reader)
    return f"Wanted: {measure.name} {wording.say(goal)}, in place of {wording.say(now)}."


def drawn(scenario: Scenario, pitch: str, measure: str, key: str, road: Road, reader: Reader) -> Drawn:
    """Tell the road of a lever of a pitch to a goal of a measure."""
    quantity, now = QUANTITIES[key], BY_KEY[key].stands_at(scenario.pitch[pitch], scenario.pitcher.hand)
    change, value = change_of(quantity, reader), value_of(quantity, reader)
    then = now + road.change.value  # a direction is told as the way it turned
    name = quantity.brief[:1].upper() + quantity.brief[1:]
    low, high = road.change.low, road.change.high
    known = low is not None and high is not None and isfinite(low + high)
    span, doubt = road.highest - road.lowest, change.span(low, high, unit=True)
    where, ends = f"from {value.say(now)} to {value.say(then)}", (value.say(road.lowest), value.say(road.highest))
    if key == SPREAD_SCALE:  # a factor is no value that anybody reads
        where, ends = "each nearer to the same pitch", (change.say(road.lowest - now), change.say(road.highest - now))
    sure = _sure(doubt, _may_not_do(road, now)) if known else ""
    if not _gets_there(road):
        sure = _not_there(measure, road, reader)

    def place(at: float) -> float:
        return _ROOM + (WIDTH - 2.0 * _ROOM) * (min(max(at, road.lowest), road.highest) - road.lowest) / span

    return Drawn(
        f"{name} {change.say(road.change.value)}",
        where,
        sure,
        place(now),
        place(then),
        place(now + low) if known and low is not None else None,
        place(now + high) if known and high is not None else None,
        ends,
    )


def _not_there(measure: str, road: Road, reader: Reader) -> str:
    """Say where a road ends that does not get there, or how seldom it does."""
    if road.trouble == "unsure":
        said = arrives_said(road.arrives_percent or 0.0)
        return f"{said[:1].upper()}{said[1:]}."
    return f"With it about {value_of(QUANTITIES[measure], reader).say(road.measure_there)}."


def _may_not_do(road: Road, now: float) -> bool:
    """Whether the interval of a change ends where the lever does."""
    if road.change.low is None or road.change.high is None:
        return False
    ends, room = (now + road.change.low, now + road.change.high), 0.01 * (road.highest - road.lowest)
    return min(ends) <= road.lowest + room or max(ends) >= road.highest - room


def _sure(span: str, may_not_do: bool) -> str:
    return f"Hard to say how far: {span}, and even that may not do." if may_not_do else f"Probably {span}."
