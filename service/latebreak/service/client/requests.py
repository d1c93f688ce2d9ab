"""Questions as requests: what is asked about is read here, so that no request names a path of the server."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import wraps
from inspect import Parameter, signature
from pathlib import Path
from typing import Any, Concatenate, ParamSpec, TypeVar

from google.protobuf.message import Message

from latebreak.engine.errors import Fault, InputError
from latebreak.service.judging.setting import check_draws
from latebreak.service.quantities.units import is_finite_number
from latebreak.service.questions.following.kept_goal import KeptGoal, load_goal
from latebreak.service.questions.paths import faults_of_points
from latebreak.service.scenario import Source, opened
from latebreak.service.throws import map_content, throws_content
from latebreak.service.wire.messages import fill
from latebreak.service.wire.scenarios import SOURCE, message_of
from latebreak.service.wording import clean
from latebreak.v1 import what_if_pb2


@dataclass(frozen=True)
class Request:
    """A request.

    Attributes
    ----------
    method : str
        Of the service.
    message : Message
        What is sent.
    names : mapping of str to str
        What the server calls the parts of the input, and what they are called here.
    """

    method: str
    message: Message
    names: Mapping[str, str] = field(default_factory=dict)

    def renamed(self, source: str) -> str:
        """Return what a part of the input is called here."""
        return self.names.get(source, source)


def fly(source: Source, *, seed: int | None = None, throws: int | None = None) -> Request:
    """Ask where these pitches go."""
    return _about(source, "Fly", what_if_pb2.FlyRequest(), seed=seed, throws=throws)


def compare(
    source: Source,
    *,
    pitches: Sequence[str] | None = None,
    by: str | None = None,
    count: str | None = None,
    counts: bool = False,
    hitters: bool = False,
    intervals: bool = True,
    seed: int | None = None,
    throws: int | None = None,
) -> Request:
    """Ask which pitch is harder to hit."""
    _some("pitches", pitches)
    message = what_if_pb2.CompareRequest(
        pitches=pitches or (), by=by, count=count, counts=counts, hitters=hitters, no_interval=not intervals
    )
    return _about(source, "Compare", message, seed=seed, throws=throws)


def aim(
    source: Source,
    *,
    pitch: str,
    measure: str | None = None,
    intervals: bool = True,
    seed: int | None = None,
    throws: int | None = None,
) -> Request:
    """Ask where a pitch should be aimed."""
    message = what_if_pb2.AimRequest(pitch=pitch, measure=measure, no_interval=not intervals)
    return _about(source, "Aim", message, seed=seed, throws=throws)


def mix(source: Source, *, intervals: bool = True, seed: int | None = None, throws: int | None = None) -> Request:
    """Ask how often each pitch should be thrown."""
    return _about(source, "Mix", what_if_pb2.MixRequest(no_interval=not intervals), seed=seed, throws=throws)


def levers(
    source: Source,
    *,
    pitch: str,
    measure: str | None = None,
    intervals: bool = True,
    seed: int | None = None,
    throws: int | None = None,
) -> Request:
    """Ask what a step on each lever does."""
    message = what_if_pb2.LeversRequest(pitch=pitch, measure=measure, no_interval=not intervals)
    return _about(source, "Levers", message, seed=seed, throws=throws)


def reach(
    source: Source,
    *,
    pitch: str,
    measure: str,
    goal: str | float,
    by: Sequence[str] | None = None,
    intervals: bool = True,
    seed: int | None = None,
    throws: int | None = None,
) -> Request:
    """Ask how much must be added."""
    _some("by", by)
    written = f"={float(goal)!r}" if is_finite_number(goal) else str(goal)
    message = what_if_pb2.ReachRequest(
        pitch=pitch, measure=measure, goal=written, by=by or (), no_interval=not intervals
    )
    return _about(source, "Reach", message, seed=seed, throws=throws)


def fit(
    throws: str | Path,
    *,
    base: Source,
    later: str | Path | Sequence[str | Path] | None = None,
    columns: str | Path | None = None,
    fastball: str | None = None,
    goal: str | Path | KeptGoal | None = None,
    seed: int | None = None,
    throws_per_pitch: int | None = None,
) -> Request:
    """Ask which scenario measured throws make: the files are read here."""
    files = [later] if isinstance(later, str | Path) else list(later or ())
    second, more = files[:1], files[1:]
    message = what_if_pb2.FitThrowsRequest(
        csv=throws_content(throws),
        later_csv=throws_content(second[0]) if second else None,
        more_csv=map(throws_content, more),
        columns=None if columns is None else map_content(columns),
        fastball=fastball or "",
    )
    message.labels.csv = clean(str(throws))
    if second:
        message.labels.later_csv = clean(str(second[0]))
    message.labels.more_csv.extend(clean(str(one)) for one in more)
    if goal is not None:
        kept = goal if isinstance(goal, KeptGoal) else load_goal(goal)
        fill(message.goal, kept.parts())
        message.labels.goal = "goal" if goal is kept else clean(str(goal))
    request = _about(base, "FitThrows", message, seed=seed, throws=throws_per_pitch)
    message.labels.base = request.names[SOURCE]
    return replace(request, names={**request.names, "column map": clean(str(columns))})


def flights(
    source: Source,
    *,
    pitches: Sequence[str] | None = None,
    points: int | None = None,
    seed: int | None = None,
    throws: int | None = None,
) -> Request:
    """Ask for whole flights."""
    _some("pitches", pitches)
    if points is not None and not 0 <= points < 2**32:  # more than a message can hold
        raise InputError(faults_of_points(points))
    message = what_if_pb2.StreamFlightsRequest(pitches=pitches or (), points=points)
    return _about(source, "StreamFlights", message, seed=seed, throws=throws)


def _about(
    source: Source,
    method: str,
    message: Any,
    *,
    seed: int | None,
    throws: int | None,
) -> Request:
    loaded = opened(source, elsewhere=True)
    own = loaded.source
    if any(number is not None and not 0 <= number < 2**64 for number in (seed, throws)):  # no message can hold it
        check_draws(seed, throws, own)
    scenario = message.base if method == "FitThrows" else message.scenario
    scenario.CopyFrom(message_of(loaded))
    if seed is not None:
        message.seed = seed
    if throws is not None:
        message.throws = throws
    return Request(method, message, {SOURCE: own})


def _some(key: str, names: Sequence[str] | None) -> None:
    """Refuse a list of no names: in a message it would mean that none was given."""
    if names is not None and not names:
        raise InputError([Fault(key, "no name is given", "at least one, or None for the usual ones")])


S = TypeVar("S")
R = TypeVar("R")
P = ParamSpec("P")


def asking(request: Callable[P, Request]) -> Callable[[Callable[[S, Request], R]], Callable[Concatenate[S, P], R]]:
    """Give a method of a client, which takes a request, the parameters of the function that makes the request.

    Parameters
    ----------
    request : callable
        A function of this module.

    Returns
    -------
    callable
        Decorator; types and signature of what it returns are those of `request`, behind `self`.
    """

    def decorate(method: Callable[[S, Request], R]) -> Callable[Concatenate[S, P], R]:
        @wraps(method)
        def asked(self: S, /, *arguments: P.args, **named: P.kwargs) -> R:
            return method(self, request(*arguments, **named))

        own = signature(request)
        own = own.replace(parameters=[Parameter("self", Parameter.POSITIONAL_ONLY), *own.parameters.values()])
        own = own.replace(return_annotation=signature(method).return_annotation)
        asked.__signature__ = own  # type: ignore[attr-defined]
        return asked

    return decorate
