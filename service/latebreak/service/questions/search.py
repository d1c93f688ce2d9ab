"""The search for roads to a goal: along each lever, on common throws, and along speed and spin rate together.

A first look on a grid with few throws finds where the response crosses the goal; a secant with all the throws sharpens
it. Every look is of versions flown side by side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.draws import Draws
from latebreak.service.judging.estimates import Estimate, Estimator, estimate
from latebreak.service.judging.lineup import Lineup
from latebreak.service.judging.setting import Progress
from latebreak.service.judging.versions import measure_side_by_side, measure_versions
from latebreak.service.quantities import Reader
from latebreak.service.questions.frontier import FrontierPoint, frontier
from latebreak.service.questions.goal import Goal
from latebreak.service.questions.lever import BY_KEY, Lever
from latebreak.service.questions.reach_words import arrives_said, why_not
from latebreak.service.questions.road import Road, Trouble
from latebreak.service.questions.root import bracket, roots_of_members, sharpened
from latebreak.service.questions.same_pitch import SamePitch, bounds_of_kind
from latebreak.service.questions.walk import Walk, arrives_percent
from latebreak.service.scenario.pitch_entry import PitchEntry

Array = NDArray[np.float64]

#: Places of the grid along a lever, and throws of each (chosen: a response turns at most once or twice over it).
_PLACES, _FEW = 13, 512
#: Rounds of all the throws, and how near the goal is near enough, in standard errors of the measure.
_ROUNDS, _NEAR = 6, 0.25
_STILL = 1e-6  # of the range: a smaller step is none
_EXACT = 1e-6  # for a measure without sampling error, as a share of its size
#: Percent of the draws of what is not known in which a goal must be reached, lest a road works in a minority of them;
#: and from which on it need not be said.
_OFTEN, _ALWAYS = 50.0, 99.5
#: Share of the range from a root to the places that tell what a member of the ensemble does to it, at least (chosen).
_ASIDE = 0.05


class Search:
    """A search for a goal.

    Parameters
    ----------
    lineup : Lineup
        The hitter and all pitches.
    name, measure : str
        The pitch and the key of the measure.
    goal : Goal
        What is wanted.
    progress : callable
        Told the share of the work that is done.
    """

    def __init__(self, lineup: Lineup, name: str, measure: str, goal: Goal, progress: Progress) -> None:
        self._lineup, self._name, self._measure, self._goal = lineup, name, measure, goal
        self._sure = replace(lineup, ensemble=None)
        self._progress, self._done = progress, 0
        scenario = lineup.setting.scenario
        self._scenario, self._entry, self._hand = scenario, scenario.pitch[name], scenario.pitcher.hand
        self._all = lineup.setting.draws
        self._few = Draws(self._all.seed, min(self._all.throws, _FEW))
        self.warnings: list[str] = []
        judged = [self._judge(self._sure, name, self._all)]
        if goal.kind == "like":
            judged.append(self._judge(self._sure, goal.pitch, self._all))
        self._base = judged[0] if len(judged) == 1 else judged[0].beside(judged[1])
        values = self._base.value
        self.goal_value = {
            "value": goal.number,
            "change": float(values[0]) + goal.number,
            "like": float(values[-1]),
        }[goal.kind]
        self._exact = _EXACT * max(abs(self.goal_value), 1.0)
        self.now = self._now()

    # --- the measure and how far it misses the goal -----------------------------------------------------------------
    def _judge(self, lineup: Lineup, name: str, draws: Draws) -> Estimator:
        self._tick()
        return measure_side_by_side(lineup, lineup.versions(name), draws, self._measure)[self._measure]

    def _now(self) -> Estimate:
        """What the measure is, as `compare` says it."""
        if self._lineup.ensemble is None:
            return self._base.estimate()
        few, own = self._judge(self._lineup, self._name, self._few), self._base.versions(np.zeros(1, np.int64))
        return replace(own, members=few.members, usable=few.usable).estimate()

    def _ask(self, entries: Sequence[PitchEntry], draws: Draws) -> Estimator:
        """Measure versions; NaN where one can't be thrown."""
        self._tick()
        found, on_target = measure_versions(self._sure, self._name, entries, draws, self._measure)
        one = found[self._measure]
        return replace(one, value=np.where(on_target, one.value, np.nan))

    def _tick(self) -> None:
        self._done += 1
        self._progress(1.0 - 0.8**self._done)  # how many rounds it takes is not known

    # --- along each lever -------------------------------------------------------------------------------------------
    def roads(self, levers: Sequence[Lever]) -> dict[str, Road]:
        """Find the road along each lever, one at a time."""
        walks = self._looked_around(levers)
        for _ in range(_ROUNDS):
            going = [walk for walk in walks if walk.found.root is not None and not self._settled(walk)]
            if not going:
                break
            for walk in going:
                walk.at.append(self._next(walk))
            self._walk(going)
        for walk in walks:
            walk.keep_the_best()
        intervals = self._under(walks)
        return {walk.lever.key: self._road(walk, intervals.get(walk.lever.key)) for walk in walks}

    def _looked_around(self, levers: Sequence[Lever]) -> list[Walk]:
        """Look along every lever on a grid, all at once."""
        grids, entries = [], [self._entry]
        for lever in levers:
            now = lever.stands_at(self._entry, self._hand)
            low, high = bounds_of_kind(lever, self._scenario, self._lineup.fastball, self._name)
            grid = np.unique(np.append(np.linspace(low, high, _PLACES), now))
            grids.append((lever, low, high, now, grid))
            entries += [lever.moved(self._entry, self._hand, value) for value in grid]
        looks = self._ask(entries, self._few)
        # what all the throws say of the pitch as it is mends the level of the few
        measured = self._as_changes(looks)
        miss = measured - self.goal_value
        miss = np.where(np.abs(miss) <= self._exact, 0.0, miss)
        noise = np.nan_to_num([looks.error_of_change(version) for version in range(len(entries))]).clip(self._exact)
        walks, first = [], 1
        for lever, low, high, now, grid in grids:
            here = slice(first, first + grid.size)
            first += grid.size
            found = bracket(grid, miss[here], noise[here], now)
            walk = Walk(lever, low, high, found, self.goal_value, [], [], [])
            if found.root is None:
                walk.at.append(found.closest)
                walk.measured.append(float(measured[here][grid == found.closest][0]))
                walk.errors.append(float("nan"))
            walks.append(walk)
        return walks

    def _as_changes(self, found: Estimator) -> Array:
        """Measures of versions as changes from the first of them, the pitch as it is; what their laws share cancels."""
        now = self._base.value[0]
        changes: Array = found.value + (now - found.value[0] if np.isfinite(now - found.value[0]) else 0.0)
        return changes

    def _next(self, walk: Walk) -> float:
        if not walk.at:
            return float(np.clip(walk.found.root or 0.0, walk.low, walk.high))
        return sharpened(np.array(walk.at), walk.miss, walk.found.slope, walk.low, walk.high)

    def _walk(self, going: Sequence[Walk]) -> None:
        """Measure where the walks stand now, with all the throws."""
        entries = [walk.lever.moved(self._entry, self._hand, walk.at[-1]) for walk in going]
        found = self._ask([self._entry, *entries], self._all)
        measured = self._as_changes(found)
        for number, walk in enumerate(going, 1):
            walk.measured.append(float(measured[number]))
            walk.errors.append(self._error(found, number))

    def _error(self, found: Estimator, version: int) -> float:
        """Standard error of how far a version misses the goal: of its own value, or of a difference."""
        if self._goal.kind == "change":
            error = found.error_of_change(version)
        elif self._goal.kind == "like":
            both = found.beside(self._base)
            error = both.error_of_change(version, since=both.value.size - 1)
        else:
            error = found.estimate(version).sampling_error
        return float(error)

    def _settled(self, walk: Walk) -> bool:
        """Whether a walk is near enough to the goal, can't be thrown, or would stand still."""
        if not walk.at:
            return False
        enough = max(_NEAR * float(np.nan_to_num(walk.errors[-1])), self._exact)
        stays = abs(self._next(walk) - walk.at[-1]) < _STILL * (walk.high - walk.low)
        return bool(abs(walk.miss[-1]) <= enough or not np.isfinite(walk.miss[-1]) or stays)

    # --- what is not known ------------------------------------------------------------------------------------------
    def _under(self, walks: Sequence[Walk]) -> dict[str, tuple[Array, NDArray[np.bool_]]]:
        """Roots in the members of the ensemble, by lever: (MEMBERS + 1,) and which of them count."""
        if self._lineup.ensemble is None:
            return {}
        open_ = [walk for walk in walks if walk.found.root is not None and np.isfinite(walk.miss[-1])]
        entries, places = [self._entry], []
        for walk in open_:
            places.append(self._about(walk))
            entries += [walk.lever.moved(self._entry, self._hand, value) for value in places[-1]]
        few = measure_versions(self._lineup, self._name, entries, self._few, self._measure)[0][self._measure]
        members, value, usable = few.members, few.value, few.usable
        assert members is not None  # there is an ensemble
        wanted = np.zeros(members.shape[1])
        if self._goal.kind == "change":
            wanted = members[0] - members[0, 0]
        elif self._goal.kind == "like":
            other = self._judge(self._lineup, self._goal.pitch, self._few)
            assert other.members is not None  # there is an ensemble
            wanted, usable = other.members[0] - other.members[0, 0], usable & other.usable
        base = self._base.value[0] - self.goal_value
        result = {}
        for number, (walk, x) in enumerate(zip(open_, places, strict=True)):
            rows = np.arange(3 * number + 1, 3 * number + 4)
            level = base + value[rows] - value[0]
            level[1] = walk.miss[-1]  # all the throws know it
            miss = level[:, None] + members[rows] - members[rows][:, :1] - wanted
            counts: NDArray[np.bool_] = np.all(usable[rows] & np.isfinite(miss), axis=0)
            roots = roots_of_members(x, np.nan_to_num(miss), walk.low, walk.high)
            result[walk.lever.key] = (roots - walk.lever.stands_at(self._entry, self._hand), counts)
        return result

    def _about(self, walk: Walk) -> Array:
        """Places before the root, at it and beyond it; before it is now, unless that is too near to tell a slope."""
        now, root = walk.lever.stands_at(self._entry, self._hand), walk.at[-1]
        way = np.sign(root - now) or (1.0 if walk.high - root > root - walk.low else -1.0)
        aside = way * max(abs(root - now), _ASIDE * (walk.high - walk.low))
        return np.clip([root - aside, root, root + aside], walk.low, walk.high)

    # --- what is said -----------------------------------------------------------------------------------------------
    def _road(self, walk: Walk, under: tuple[Array, NDArray[np.bool_]] | None) -> Road:
        lever, value = walk.lever, walk.at[-1]
        change = value - lever.stands_at(self._entry, self._hand)
        new_value = value % 360.0 if lever.is_clock else value
        error, measure = walk.errors[-1], walk.measured[-1]
        near = max(2.0 * float(np.nan_to_num(error)), 1e-3 * max(abs(self.goal_value), 1.0))
        if walk.found.root is None or not abs(walk.miss[-1]) <= near:
            return self._out_of_reach(walk, change, new_value)
        slope = abs(self._slope(walk))
        error = error / slope if error and slope else 0.0
        found = Estimate(change, error)
        if under is not None:
            now = value - change
            found = estimate(change, error, *under, least=walk.low - now, most=walk.high - now)
        arrives = None if under is None else arrives_percent(walk, value - change, *under)
        if arrives is not None and arrives < _OFTEN:
            nearest = Road(
                Estimate(change, error), new_value, False, "", measure, walk.low, walk.high, "unsure", arrives
            )
            return self._with_reason(walk, nearest)
        mind = self._mind(walk, arrives)
        return Road(found, new_value, True, mind, measure, walk.low, walk.high, arrives_percent=arrives)

    def _slope(self, walk: Walk) -> float:
        if len(walk.at) > 1 and walk.at[-1] != walk.at[-2] and walk.miss[-1] != walk.miss[-2]:
            return float((walk.miss[-1] - walk.miss[-2]) / (walk.at[-1] - walk.at[-2]))
        return walk.found.slope

    def _out_of_reach(self, walk: Walk, change: float, new_value: float) -> Road:
        trouble: Trouble = "nearest"
        at_bound = min(walk.at[-1] - walk.low, walk.high - walk.at[-1]) < 0.01 * (walk.high - walk.low)
        if not np.isfinite(walk.miss[-1]):
            trouble = "none"
        elif walk.found.root is not None and not at_bound:
            trouble = "jump"
        measure, change_to = walk.measured[-1], Estimate(change, float("nan"))
        return self._with_reason(walk, Road(change_to, new_value, False, "", measure, walk.low, walk.high, trouble))

    def _with_reason(self, walk: Walk, road: Road) -> Road:
        fastball, key, reader = self._lineup.fastball, walk.lever.key, Reader(hand=self._hand)
        return replace(road, reason=why_not(self._scenario, fastball, self._measure, walk.goal, key, road, reader))

    def _mind(self, walk: Walk, arrives: float | None) -> str:
        said = []
        if walk.found.roots > 1 or not walk.found.monotone:
            said.append("the response is not monotone: this is the root nearest to now")
        if arrives is not None and arrives < _ALWAYS:
            said.append(arrives_said(arrives))
        return "; ".join(said)

    # --- speed and spin rate together -------------------------------------------------------------------------------
    def frontier(self) -> tuple[FrontierPoint, ...]:
        """Pairs of speed and spin rate that reach the goal."""
        speeds, rates = (
            bounds_of_kind(BY_KEY[key], self._scenario, self._lineup.fastball, self._name)
            for key in ("speed_mph", "spin_rpm")
        )
        is_same = SamePitch(self._scenario, self._lineup.fastball, self._entry)
        pairs = frontier(self._entry, speeds, rates, self._misses)
        return tuple(
            pair
            for pair in pairs
            if is_same(self._entry.model_copy(update={"speed_mph": pair.speed_mph, "spin_rpm": pair.spin_rpm}))
        )

    def _misses(self, entries: Sequence[PitchEntry], throws: int) -> Array:
        """How far versions miss the goal, from so many throws at most."""
        found = self._ask([self._entry, *entries], Draws(self._all.seed, min(self._all.throws, throws)))
        misses: Array = self._as_changes(found)[1:] - self.goal_value
        return misses
