"""Flights and lists of models as a client gives them: plain objects, made of messages."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.v1 import what_if_pb2

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class FlownPath:
    """The path of a throw, at equal distances from release to plate.

    Attributes
    ----------
    throw : int
        Number of the throw, from 0; the same number is the same draw for every pitch.
    outcome : str
        What became of it: one of `latebreak.engine.flight.outcome.OUTCOMES`.
    time_s : float64 array, shape (points,)
        After release, s.
    x_ft, y_ft, z_ft : float64 array, shape (points,)
        Place, ft: toward the catcher's right, from the back point of the plate toward the mound, up.
    """

    throw: int
    outcome: str
    time_s: Array
    x_ft: Array
    y_ft: Array
    z_ft: Array


@dataclass(frozen=True)
class Flights:
    """Some flights of a pitch, in the order of the throws.

    Attributes
    ----------
    pitch : str
        Its name.
    paths : tuple of FlownPath
        The flights.
    """

    pitch: str
    paths: tuple[FlownPath, ...]


@dataclass(frozen=True)
class Model:
    """A registered force law or hitter model.

    Attributes
    ----------
    name : str
        As scenarios name it.
    kind : str
        "lift_law", "drag_law" or "hitter_model"; "force_law" where a name tells neither kind.
    distribution, version : str
        Who registers it.
    problem : str
        Why it can't be used; empty where it can.
    """

    name: str
    kind: str
    distribution: str
    version: str
    problem: str


def flights_of(message: what_if_pb2.StreamFlightsResponse) -> Flights:
    """Read a chunk of flights."""
    return Flights(
        message.pitch,
        tuple(
            FlownPath(
                one.throw, one.outcome, np.array(one.time_s), np.array(one.x_ft), np.array(one.y_ft), np.array(one.z_ft)
            )
            for one in message.paths
        ),
    )


def models_of(message: what_if_pb2.ListModelsResponse) -> tuple[Model, ...]:
    """Read the list of models."""
    return tuple(Model(one.name, one.kind, one.distribution, one.version, one.problem) for one in message.models)
