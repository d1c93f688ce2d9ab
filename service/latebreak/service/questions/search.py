"""The search for roads to a goal: along each lever, on common draws, and along speed and spin rate together.

A first look on a grid with few throws finds where the response crosses the goal; a secant with all the throws sharpens
it. Every look is of versions flown side by side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.draws import Draws
from latebreak.service.questions.answer import Estimate
from latebreak.service.questions.chance import estimate
from latebreak.service.questions.contest import Matchup
from latebreak.service.questions.goal import Goal
from latebreak.service.questions.lever import BY_KEY, Lever
from latebreak.service.questions.response import respond, unit_of
from latebreak.service.questions.road import Frontier, Road
from latebreak.service.questions.root import Bracket, bracket, root_under_draws, sharpened
from latebreak.service.questions.samples import Response, Sample
from latebreak.service.questions.setting import Progress
from latebreak.service.questions.versions import respond_to
from latebreak.service.scenario.pitch_entry import PitchEntry

Array = NDArray[np.float64]

#: Places of the grid along a lever, and throws of each (chosen: a response turns at most once or twice over it).
_PLACES, _FEW = 13, 512
#: Rounds of all the throws, and how near the goal is near enough, in standard errors of the measure.
_ROUNDS, _NEAR = 6, 0.25
_STILL = 1e-6  # of the range: a smaller step is none
_EXACT = 1e-6  # for a measure without sampling error, as a share of its size
#: Speeds of the frontier, spin rates tried for each, and throws (chosen).
_SPEEDS, _RATES, _FRONTIER_THROWS = 7, 7, 2048


@dataclass(eq=False)
class _Walk:
    """The search along one lever."""

    lever: Lever
    low: float
    high: float
    found: Bracket
    at: list[float]
    miss: list[float]
    error: float = 0.0
    measure: float = float("nan")


class Search:
    """A search for a goal.

    Parameters
    ----------
    facing : Matchup
        The hitter and all pitches.
    name, measure : str
        The pitch and the key of the measure.
    goal : Goal
        What is wanted.
    progress : callable
        Told the share of the work that is done.
    """

    def __init__(self, facing: Matchup, name: str, measure: str, goal: Goal, progress: Progress) -> None:
        self._facing, self._name, self._measure, self._goal = facing, name, measure, goal
        self._sure = replace(facing, unknowns=None)
        self._progress, self._done = progress, 0
        scenario = facing.setting.scenario
        self._scenario, self._entry, self._hand = scenario, scenario.pitch[name], scenario.pitcher.hand
        self._all = facing.setting.draws
        self._few = Draws(self._all.seed, min(self._all.throws, _FEW))
        self.warnings: list[str] = []
        judged = [self._judge(self._sure, name, self._all)]
        if goal.kind == "like":
            judged.append(self._judge(self._sure, goal.pitch, self._all))
        self._base = judged[0] if len(judged) == 1 else judged[0].beside(judged[1])
        values = self._base.samples[measure].value
        self.goal_value = {
            "value": goal.number,
            "change": float(values[0]) + goal.number,
            "like": float(values[-1]),
        }[goal.kind]
        self.now = self._now()

    # --- the measure and how far it misses the goal -----------------------------------------------------------------
    def _judge(self, facing: Matchup, name: str, draws: Draws) -> Response:
        one = facing if name in facing.compared else replace(facing, compared=(name,))
        self._tick()
        return respond(one.contests(name), draws, self._measure)

    def _now(self) -> Estimate:
        """What the measure is, as `compare` says it."""
        if self._facing.unknowns is None:
            return self._base.estimates()[self._measure]
        self._under_draws = self._judge(self._facing, self._name, self._few)
        own, sample = self._base.samples[self._measure], self._under_draws.samples[self._measure]
        joined = replace(own.versions(np.zeros(1, np.int64)), draws=sample.draws)
        return joined.estimate(self._under_draws.usable)

    def _ask(self, entries: Sequence[PitchEntry], draws: Draws) -> Sample:
        """Measure versions; NaN where one can't be thrown."""
        self._tick()
        response, reached = respond_to(self._sure, self._name, entries, draws, self._measure)
        sample = response.samples[self._measure]
        return replace(sample, value=np.where(reached, sample.value, np.nan))

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
        intervals = self._under(walks)
        return {walk.lever.key: self._road(walk, intervals.get(walk.lever.key)) for walk in walks}

    def _looked_around(self, levers: Sequence[Lever]) -> list[_Walk]:
        """Look along every lever on a grid, all at once."""
        grids, entries = [], [self._entry]
        for lever in levers:
            now = lever.stands_at(self._entry, self._hand)
            low, high = lever.bounds(self._scenario, self._facing.fastball, self._name)
            grid = np.unique(np.append(np.linspace(low, high, _PLACES), now))
            grids.append((lever, low, high, now, grid))
            entries += [lever.moved(self._entry, self._hand, value) for value in grid]
        sample = self._ask(entries, self._few)
        # what all the throws say of the pitch as it is mends the level of the few
        miss = sample.value - sample.value[0] + self._base.samples[self._measure].value[0] - self.goal_value
        noise = np.nan_to_num([sample.error_of_change(version) for version in range(len(entries))])
        walks, first = [], 1
        for lever, low, high, now, grid in grids:
            here = slice(first, first + grid.size)
            first += grid.size
            found = bracket(grid, miss[here], noise[here], now)
            if found.root is None:
                near = np.nanargmin(np.abs(miss[here])) if np.isfinite(miss[here]).any() else 0
                walks.append(_Walk(lever, low, high, found, [found.closest], [], measure=miss[here][near]))
            else:
                walks.append(_Walk(lever, low, high, found, [], []))
        for walk in walks:
            walk.measure = float(walk.measure) + self.goal_value
        return walks

    def _next(self, walk: _Walk) -> float:
        if not walk.miss:
            return float(np.clip(walk.found.root or 0.0, walk.low, walk.high))
        return sharpened(np.array(walk.at), np.array(walk.miss), walk.found.slope, walk.low, walk.high)

    def _walk(self, going: Sequence[_Walk]) -> None:
        """Measure where the walks stand now, with all the throws."""
        entries = [walk.lever.moved(self._entry, self._hand, walk.at[-1]) for walk in going]
        sample = self._ask([self._entry, *entries], self._all)
        for number, walk in enumerate(going, 1):
            walk.measure = float(sample.value[number])
            walk.miss.append(walk.measure - self.goal_value)
            walk.error = self._error(sample, number)

    def _error(self, sample: Sample, version: int) -> float:
        """Standard error of how far a version misses the goal: of its own value, or of a difference."""
        if self._goal.kind == "change":
            error = sample.error_of_change(version)
        elif self._goal.kind == "like":
            both = sample.beside(self._base.samples[self._measure])
            error = both.error_of_change(version, since=both.value.size - 1)
        else:
            error = sample.estimate(np.ones((sample.value.size, 1), dtype=bool), version).sampling_error
        return float(np.nan_to_num(error))

    def _settled(self, walk: _Walk) -> bool:
        """Whether a walk is near enough to the goal, can't be thrown, or would stand still."""
        if not walk.miss:
            return False
        enough = max(_NEAR * walk.error, _EXACT * max(abs(self.goal_value), 1.0))
        stays = abs(self._next(walk) - walk.at[-1]) < _STILL * (walk.high - walk.low)
        return abs(walk.miss[-1]) <= enough or not np.isfinite(walk.miss[-1]) or stays

    # --- what is not known ------------------------------------------------------------------------------------------
    def _under(self, walks: Sequence[_Walk]) -> dict[str, tuple[Array, NDArray[np.bool_]]]:
        """Roots under the draws of what is not known, by lever: (draws + 1,) and which of them count."""
        if self._facing.unknowns is None:
            return {}
        open_ = [walk for walk in walks if walk.found.root is not None and np.isfinite(walk.measure)]
        entries, places = [self._entry], []
        for walk in open_:
            now, root = walk.lever.stands_at(self._entry, self._hand), walk.at[-1]
            beyond = float(np.clip(2.0 * root - now, walk.low, walk.high))
            places.append(np.array([now, root, beyond]))
            entries += [walk.lever.moved(self._entry, self._hand, value) for value in (root, beyond)]
        response, _ = respond_to(self._facing, self._name, entries, self._few, self._measure)
        drawn = response.samples[self._measure].draws
        assert drawn is not None  # the draws were asked for
        wanted, usable = np.zeros(drawn.shape[1]), response.usable
        if self._goal.kind == "change":
            wanted = drawn[0] - drawn[0, 0]
        elif self._goal.kind == "like":
            other = self._judge(self._facing, self._goal.pitch, self._few)
            its = other.samples[self._measure].draws
            assert its is not None  # the draws were asked for
            wanted, usable = its[0] - its[0, 0], usable & other.usable
        base = self._base.samples[self._measure].value[0] - self.goal_value
        result = {}
        for number, (walk, x) in enumerate(zip(open_, places, strict=True)):
            rows = [0, 2 * number + 1, 2 * number + 2]
            level = np.array([base, walk.miss[-1], base + response.samples[self._measure].value[rows[2]]])
            level[2] -= response.samples[self._measure].value[0]
            miss = level[:, None] + drawn[rows] - drawn[rows][:, :1] - wanted
            counts: NDArray[np.bool_] = np.all(usable[rows] & np.isfinite(miss), axis=0)
            roots = root_under_draws(x, np.nan_to_num(miss), walk.low, walk.high) - x[0]
            result[walk.lever.key] = (roots, counts)
        return result

    # --- what is said -----------------------------------------------------------------------------------------------
    def _road(self, walk: _Walk, under: tuple[Array, NDArray[np.bool_]] | None) -> Road:
        lever, value = walk.lever, walk.at[-1]
        now = lever.stands_at(self._entry, self._hand)
        if walk.found.root is None:
            return Road(Estimate(value - now, float("nan")), value, False, self._why_not(walk), walk.measure)
        error = walk.error / abs(self._slope(walk)) if walk.error else 0.0
        if abs(walk.miss[-1]) > max(2.0 * walk.error, 1e-3 * max(abs(self.goal_value), 1.0)):
            jump = f"the measure jumps past the goal at {value:.4g} {lever.unit.symbol}".rstrip()
            at_bound = min(value - walk.low, walk.high - value) < 0.01 * (walk.high - walk.low)
            reason = self._why_not(walk) if at_bound else jump
            return Road(Estimate(value - now, float("nan")), value, False, reason, walk.measure)
        change = Estimate(value - now, error)
        if under is not None:
            roots, usable = under
            change = estimate(value - now, error, roots, usable, least=walk.low - now, most=walk.high - now)
        return Road(change, value % 360.0 if lever.is_clock else value, True, self._mind(walk, under), walk.measure)

    def _slope(self, walk: _Walk) -> float:
        if len(walk.at) > 1 and walk.at[-1] != walk.at[-2] and walk.miss[-1] != walk.miss[-2]:
            return (walk.miss[-1] - walk.miss[-2]) / (walk.at[-1] - walk.at[-2])
        return walk.found.slope

    def _why_not(self, walk: _Walk) -> str:
        lever, symbol = walk.lever, walk.lever.unit.symbol
        between = f"between {walk.low:.4g} and {walk.high:.4g} {symbol}".rstrip()
        if not np.isfinite(walk.measure):
            return f"the pitch can't be thrown {between}"
        limit = ""
        if lever.key == "speed_mph" and walk.high == self._scenario.pitch[self._facing.fastball].speed_mph:
            limit = " (the speed of the fastball)"
        unit, there = unit_of(self._measure), f"{walk.at[-1]:.4g} {symbol}".rstrip()
        return (
            f"{between}{limit} it comes nearest at {there}, with {walk.measure:.4g} {unit}; the goal is "
            f"{self.goal_value:.4g} {unit}"
        )

    def _mind(self, walk: _Walk, under: tuple[Array, NDArray[np.bool_]] | None) -> str:
        said = []
        if walk.found.roots > 1 or not walk.found.monotone:
            said.append("the response is not monotone: this is the root nearest to now")
        if under is not None:
            roots, usable = under
            now = walk.lever.stands_at(self._entry, self._hand)
            bound = (roots <= walk.low - now) | (roots >= walk.high - now)
            lost = int((bound & usable)[1:].sum())
            if lost:
                said.append(
                    f"in {lost} of {int(usable[1:].sum())} draws of what is not known the bounds are not enough"
                )
        return "; ".join(said)

    # --- speed and spin rate together -------------------------------------------------------------------------------
    def frontier(self) -> tuple[Frontier, ...]:
        """Pairs of speed and spin rate that reach the goal."""
        speed, spin = BY_KEY["speed_mph"], BY_KEY["spin_rpm"]
        bounds = [lever.bounds(self._scenario, self._facing.fastball, self._name) for lever in (speed, spin)]
        speeds = np.unique(np.append(np.linspace(*bounds[0], _SPEEDS), self._entry.speed_mph))
        rates = np.unique(np.append(np.linspace(*bounds[1], _RATES), self._entry.spin_rpm))
        few = Draws(self._all.seed, min(self._all.throws, _FEW))
        pairs = [(v, w) for v in speeds for w in rates]
        sample = self._ask([self._entry, *(self._pair(*pair) for pair in pairs)], few)
        level = self._base.samples[self._measure].value[0] - self.goal_value
        miss = (sample.value[1:] - sample.value[0] + level).reshape(speeds.size, rates.size)
        found = [bracket(rates, row, np.zeros(rates.size), self._entry.spin_rpm) for row in miss]
        kept = [(v, b) for v, b in zip(speeds, found, strict=True) if b.root is not None]
        if not kept:
            return ()
        more = Draws(self._all.seed, min(self._all.throws, _FRONTIER_THROWS))
        guess = [float(b.root or 0.0) for _, b in kept]
        sample = self._ask([self._entry, *(self._pair(v, w) for (v, _), w in zip(kept, guess, strict=True))], more)
        off = sample.value[1:] - sample.value[0] + level
        result = []
        for (v, b), w, miss_there in zip(kept, guess, off, strict=True):
            better = sharpened(np.array([w]), np.array([miss_there]), b.slope, *bounds[1])
            if np.isfinite(better):
                result.append(Frontier(float(v), better))
        return tuple(result)

    def _pair(self, speed_mph: float, spin_rpm: float) -> PitchEntry:
        return self._entry.model_copy(update={"speed_mph": float(speed_mph), "spin_rpm": float(spin_rpm)})
