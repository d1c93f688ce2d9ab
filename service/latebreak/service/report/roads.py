"""What to work on: at most three roads to the goal, as a coach would say them, each with a small drawing."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from latebreak.service.quantities import QUANTITIES, Reader, change_of, value_of
from latebreak.service.questions import ReachResult
from latebreak.service.questions.leaks import MEASURE
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.questions.road import Road
from latebreak.service.scenario import Scenario

#: Roads that are told, and how many of them at most while one may not be enough (chosen: what is remembered on the way
#: to the mound).
MOST_ROADS, _WHILE_UNSURE = 3, 2
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
    """What is wanted, the roads to it, and what does not get there alone."""

    wanted: str
    roads: list[Drawn]
    not_alone: str


def work_on(scenario: Scenario, reached: ReachResult, reader: Reader) -> WorkOn:
    """Choose and tell the roads."""
    told = [
        drawn(scenario, reached.pitch, key, reached.levers[key], reader) for key in nearest_first(scenario, reached)
    ]
    rest = [QUANTITIES[key].brief for key, road in reached.levers.items() if not _gets_there(road)]
    return WorkOn(_wanted(reached, reader), told, ", ".join(rest))


def nearest_first(scenario: Scenario, reached: ReachResult) -> list[str]:
    """Choose the roads: of the levers that reach the goal alone, those of the fewest steps.

    One that may not be enough is told only where there are too few others.
    """
    there = {key: road for key, road in reached.levers.items() if _gets_there(road)}
    entry, hand = scenario.pitch[reached.pitch], scenario.pitcher.hand
    now = {key: BY_KEY[key].stands_at(entry, hand) for key in there}
    steps = sorted(there, key=lambda key: abs(there[key].change.value / BY_KEY[key].step))
    sure = [key for key in steps if not _may_not_do(there[key], now[key])][:MOST_ROADS]
    unsure = [key for key in steps if key not in sure and _may_not_do(there[key], now[key])]
    return [*sure, *unsure[: max(0, _WHILE_UNSURE - len(sure))]]


def _gets_there(road: Road) -> bool:
    """Whether a road ends at the goal before the lever does."""
    span = road.highest - road.lowest
    inside = road.lowest + _AT_THE_END * span < road.new_value < road.highest - _AT_THE_END * span
    return road.reachable and inside and isfinite(road.change.value)


def _wanted(reached: ReachResult, reader: Reader) -> str:
    now, goal = reached.now.value, reached.goal_value
    if reached.measure == MEASURE:
        more = "more" if goal > now else "fewer"
        return f"Wanted: {abs(goal - now):.0f} {more} misses of 100 swings, {goal:.0f} in place of {now:.0f}."
    measure = QUANTITIES[reached.measure]
    wording = value_of(measure, reader)
    return f"Wanted: {measure.name} {wording.say(goal)}, in place of {wording.say(now)}."


def drawn(scenario: Scenario, pitch: str, key: str, road: Road, reader: Reader) -> Drawn:
    """Tell the road of a lever of a pitch."""
    quantity, now = QUANTITIES[key], BY_KEY[key].stands_at(scenario.pitch[pitch], scenario.pitcher.hand)
    change, value = change_of(quantity, reader), value_of(quantity, reader)
    then = now + road.change.value  # a direction is told as the way it turned
    name = quantity.brief[:1].upper() + quantity.brief[1:]
    low, high = road.change.low, road.change.high
    known = low is not None and high is not None and isfinite(low + high)
    span = road.highest - road.lowest

    def place(at: float) -> float:
        return _ROOM + (WIDTH - 2.0 * _ROOM) * (min(max(at, road.lowest), road.highest) - road.lowest) / span

    return Drawn(
        f"{name} {change.say(road.change.value)}",
        f"from {value.say(now)} to {value.say(then)}",
        _sure(change.span(low, high, unit=True), _may_not_do(road, now)) if known else "",
        place(now),
        place(then),
        place(now + low) if known and low is not None else None,
        place(now + high) if known and high is not None else None,
        (value.say(road.lowest), value.say(road.highest)),
    )


def _may_not_do(road: Road, now: float) -> bool:
    """Whether the interval of a change ends where the lever does."""
    if road.change.low is None or road.change.high is None:
        return False
    ends, room = (now + road.change.low, now + road.change.high), 0.01 * (road.highest - road.lowest)
    return min(ends) <= road.lowest + room or max(ends) >= road.highest - room


def _sure(span: str, may_not_do: bool) -> str:
    return f"Hard to say how far: {span}, and even that may not do." if may_not_do else f"Probably {span}."
