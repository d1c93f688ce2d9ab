"""Whole flights in chunks: simulated throws of pitches, as many points of each path as are asked for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from latebreak.service.questions.paths import FEWEST_POINTS, MOST_POINTS, Chunk, throw_paths
from latebreak.service.scenario import Source
from latebreak.v1 import what_if_pb2

POINTS = 33
#: Bytes of a chunk (chosen: far below the 4 MB that receivers take by default).
_CHUNK_BYTES = 500_000


def flights(
    source: Source, names: Sequence[str], points: int | None, *, seed: int | None, throws: int | None
) -> Iterator[what_if_pb2.StreamFlightsResponse]:
    """Return the chunks, flown one by one as they are taken.

    Raises
    ------
    InputError
        If the scenario, a name or the number of points is at fault: at once.
    """
    points = POINTS if points is None else points
    per_chunk = max(1, _CHUNK_BYTES // (points * 4 * 8)) if FEWEST_POINTS <= points <= MOST_POINTS else 1
    return map(_message, throw_paths(source, names, points, per_chunk, seed=seed, throws=throws))


def _message(chunk: Chunk) -> what_if_pb2.StreamFlightsResponse:
    name, first, states, outcomes = chunk
    response = what_if_pb2.StreamFlightsResponse(pitch=name)
    for number, outcome in enumerate(outcomes):
        time, x, y, z = states[:, :, number]
        response.paths.add(throw=first + number, outcome=outcome, time_s=time, x_ft=x, y_ft=y, z_ft=z)
    return response
