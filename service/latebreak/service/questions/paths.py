"""Whole paths of simulated throws, block by block."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.errors import Fault, InputError
from latebreak.engine.flight.kernel import AT_TIME, AT_X, AT_Z, Y
from latebreak.engine.flight.outcome import OUTCOMES, outcomes
from latebreak.engine.stopping import checkpoint
from latebreak.engine.units import FOOT
from latebreak.service.judging.setting import Setting, settle
from latebreak.service.scenario import Source

Array = NDArray[np.float64]

FEWEST_POINTS, MOST_POINTS = 3, 257

#: Name of the pitch, number of the first throw, states (4, points, n): time in s and x, y, z in ft; outcome of each.
Chunk = tuple[str, int, Array, list[str]]


def faults_of_points(points: int) -> list[Fault]:
    """Return what is wrong with a number of points."""
    if FEWEST_POINTS <= points <= MOST_POINTS:
        return []
    return [Fault("points", f"{points} is out of range", f"{FEWEST_POINTS} to {MOST_POINTS}")]


def throw_paths(
    source: Source, names: Sequence[str], points: int, per_chunk: int, *, seed: int | None, throws: int | None
) -> Iterator[Chunk]:
    """Throw pitches and return their paths at equal distances from release to plate.

    Parameters
    ----------
    source : Scenario, Loaded, str or Path
        What is thrown.
    names : sequence of str
        The pitches.
    points : int
        Of each path, 3 to 257.
    per_chunk : int
        Most throws of a chunk.
    seed, throws : int or None
        In place of the scenario's own.

    Returns
    -------
    iterator of Chunk
        Flown as they are taken.

    Raises
    ------
    InputError
        If the scenario, a name or the number of points is at fault: at once, not when the first chunk is taken.
    """
    setting = settle(source, seed, throws)
    faults = faults_of_points(points)
    allowed = "any of " + ", ".join(setting.pitches)
    faults += [
        Fault("pitches", f"there is no pitch {name!r}", allowed) for name in names if name not in setting.pitches
    ]
    if faults:
        raise InputError(faults, setting.source)
    return _chunks(setting, list(dict.fromkeys(names)), points, per_chunk)


def _chunks(setting: Setting, names: list[str], points: int, per_chunk: int) -> Iterator[Chunk]:
    for name, bundle in setting.bundles(names).items():
        every = -(-bundle.flight.steps // (points - 1))  # steps from point to point
        first = 0
        for block in range(setting.draws.blocks):
            releases = bundle.releases(setting.draws.normals(block))
            for start in range(0, releases.shape[1], per_chunk):
                checkpoint()
                some = np.ascontiguousarray(releases[:, start : start + per_chunk])
                nodes = bundle.flight.paths(some, every * (points - 1)).nodes[::every]
                code = outcomes(some, nodes[-1], bundle.flight.constants.radius)
                way = np.linspace(0.0, 1.0, nodes.shape[0])[:, None]
                y = some[Y] + way * (bundle.flight.plate - some[Y])
                states = np.stack([nodes[:, AT_TIME], nodes[:, AT_X] / FOOT, y / FOOT, nodes[:, AT_Z] / FOOT])
                yield name, first + start, states, [OUTCOMES[one] for one in code]
            first += releases.shape[1]
