"""Answers on the wire: put into a message, and built again from it, equal to the digit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import nan
from typing import Any

from google.protobuf.message import Message

from latebreak.service.quantities import SPREAD
from latebreak.service.questions import (
    AimResult,
    Answer,
    CompareResult,
    Estimate,
    FitResult,
    FlyResult,
    LeversResult,
    MixResult,
    OverThrows,
    PitchFit,
    ReachResult,
)
from latebreak.service.questions.aim import Place, Target
from latebreak.service.questions.deciding import BeforeHitter
from latebreak.service.questions.fitting.result import Change, Flagged
from latebreak.service.questions.fly import Movement, PitchArrivals
from latebreak.service.questions.following.kept_goal import goal_of
from latebreak.service.questions.following.result import GoalProgress, Progress, SessionProgress
from latebreak.service.questions.frontier import FrontierPoint
from latebreak.service.questions.goal import Goal
from latebreak.service.questions.leaks import Leak
from latebreak.service.questions.levers import Move
from latebreak.service.questions.mix import Curve, Mix
from latebreak.service.questions.road import Road
from latebreak.service.questions.verdict import Better
from latebreak.service.throws import Flag
from latebreak.service.wire.messages import as_mapping, fill

Json = Mapping[str, Any]


def fill_answer(message: Message, answer: Answer[Any]) -> None:
    """Put an answer into the empty response message of its question."""
    mapping = answer.to_dict()
    why = getattr(answer.result, "why", None)
    if why is not None:
        mapping["result"]["why"] = list(why)  # sentence by sentence
    fill(message, mapping)


def answer_of(message: Message) -> Answer[Any]:
    """Build an answer from a response message."""
    mapping = as_mapping(message, empty=True)
    return Answer(
        mapping["command"],
        mapping["title"],
        mapping["seed"],
        mapping["throws"],
        tuple(mapping["warnings"]),
        tuple(mapping["cautions"]),
        _RESULTS[mapping["command"]](mapping["result"]),
        mapping["version"],
    )


def _estimate(found: Json) -> Estimate:
    return Estimate(found.get("value", nan), found.get("sampling_error", nan), found.get("low"), found.get("high"))


def _estimates(found: Json) -> dict[str, Estimate]:
    return {key: _estimate(one) for key, one in found.items()}


def _fly(found: Json) -> FlyResult:
    def arrivals(one: Json) -> PitchArrivals:
        keys = ("mean", "sd", "low", "high", "sampling_error")
        quantities = {
            key: OverThrows(*(value.get(part) for part in keys))
            for key, value in one.items()
            if key not in ("outcomes", "movement")
        }
        causes = one.get("movement", {})
        movement = {cause: Movement(of.get("vertical_in"), of.get("side_in")) for cause, of in causes.items()}
        return PitchArrivals(quantities, dict(one["outcomes"]), movement)

    return FlyResult({name: arrivals(one) for name, one in found["pitches"].items()})


def _better(found: Json) -> Better:
    return Better(
        found.get("pitch"),
        found["measure"],
        _estimate(found["difference"]) if "difference" in found else None,
        found.get("chance_percent"),
        found["too_few_draws"],
    )


def _compare(found: Json) -> CompareResult:
    return CompareResult(
        found["fastball"],
        {name: _estimates(one) for name, one in found["pitches"].items()},
        _better(found["better"]),
        tuple(found["why"]),
        found["judged_among"],
        {name: _estimates(one) for name, one in found["others"].items()},
        {name: {other: _estimates(one) for other, one in mix.items()} for name, mix in found["mixes"].items()},
        {count: _estimates(one) for count, one in found["counts"].items()},
        tuple(
            BeforeHitter(one["bats"], one["familiarity"], _estimates(one["pitches"]), _better(one["better"]))
            for one in found["hitters"]
        ),
    )


def _aim(found: Json) -> AimResult:
    def target(one: Json) -> Target:
        return Target(one["target_side_ft"], one["target_height_ft"], _estimate(one["estimate"]))

    return AimResult(
        found["pitch"],
        found["fastball"],
        found["measure"],
        target(found["now"]),
        target(found["best"]),
        _estimate(found["gain"]),
        found.get("chance_percent"),
        _estimates(found["away"]),
        tuple(Place(one["target_side_ft"], one["target_height_ft"], one.get("value")) for one in found["grid"]),
        tuple(found["why"]),
        found["judged_among"],
    )


def _mix(found: Json) -> MixResult:
    def mix(one: Json) -> Mix:
        return Mix(dict(one["shares_percent"]), _estimate(one["estimate"]), _estimates(one["pitches"]))

    def curve(one: Json) -> Curve:
        return Curve(tuple(one["share_percent"]), tuple(one["value"]), one["low_percent"], one["high_percent"])

    return MixResult(
        found["fastball"],
        found["measure"],
        mix(found["today"]),
        mix(found["best"]),
        _estimate(found["gain"]),
        found.get("chance_percent"),
        dict(found["guessed_percent"]),
        found["guessed_loss"],
        {name: curve(one) for name, one in found["curves"].items()},
        tuple(found["why"]),
    )


def _levers(found: Json) -> LeversResult:
    def leak(one: Json) -> Leak:
        numbers = one["value"], one["good_value"], _estimate(one["gain"]), one["share_percent"]
        return Leak(one["called"], *numbers, one["measure"])

    return LeversResult(
        found["pitch"],
        found["fastball"],
        _estimates(found["now"]),
        {
            key: Move(one["step"], _estimates(one["measures"]), one.get("note", ""))
            for key, one in found["levers"].items()
        },
        {key: leak(one) for key, one in found["leaks"].items()},
        tuple(found["why"]),
        found["judged_among"],
    )


def _reach(found: Json) -> ReachResult:
    def road(one: Json) -> Road:
        there = one.get("measure_there", nan)
        bounds = one["lowest"], one["highest"]
        change = _estimate(one["change"])
        road = Road(change, one["new_value"], one["reachable"], one["reason"], there, *bounds, one["trouble"])
        return replace(road, arrives_percent=one.get("arrives_percent"))

    goal = found["goal"]
    return ReachResult(
        found["pitch"],
        found["fastball"],
        found["measure"],
        Goal(goal["kind"], goal.get("number", 0.0), goal.get("pitch", "")),
        goal["value"],
        _estimate(found["now"]),
        {key: road(one) for key, one in found["levers"].items()},
        tuple(FrontierPoint(pair["speed_mph"], pair["spin_rpm"]) for pair in found["frontier"]),
        found["judged_among"],
    )


def _flagged(one: Json) -> Flagged:
    return Flagged(one["file"], Flag(one["line"], one["pitch"], one["key"], one["reason"], one["left_out"]))


def _pitch_fit(one: Json) -> PitchFit:
    plain = ("role", "count", "used", "sessions", "flagged", "spread", "origin", "learned")
    spread = {SPREAD + key: value for key, value in one.get("spread", {}).items()}
    return PitchFit(
        one.get("role"),
        one["count"],
        one["used"],
        {session["session"]: session["used"] for session in one["sessions"]},
        tuple(map(_flagged, one["flagged"])),
        _estimates({key: value for key, value in one.items() if key not in plain} | spread),
        dict(one["origin"]),
        tuple(one["learned"]),
    )


def _fit(found: Json) -> FitResult:
    return FitResult(
        {name: _pitch_fit(one) for name, one in found["pitches"].items()},
        dict(found["rows"]),
        tuple(map(_flagged, found["unreadable"])),
        found["scenario"],
        {
            name: {key: Change(_estimate(one), one["chance_percent"]) for key, one in changes.items()}
            for name, changes in found["changes"].items()
        },
        {name: tuple(sentences) for name, sentences in found["moved"].items()},
        _goal_progress(found["goal"]) if "goal" in found else None,
    )


def _goal_progress(found: Json) -> GoalProgress:
    def progress(one: Json) -> Progress:
        share = _estimate(one["share_percent"]) if "share_percent" in one else None
        return Progress(_estimate(one["estimate"]), share, one.get("chance_percent"))

    sessions = tuple(
        SessionProgress(
            one["session"],
            one["used"],
            progress(one["measure"]) if "measure" in one else None,
            {key: progress(lever) for key, lever in one["levers"].items()},
        )
        for one in found["sessions"]
    )
    return GoalProgress(goal_of(found["kept"]), found["beside"], sessions, tuple(found["said"]))


_RESULTS: dict[str, Callable[[Json], Any]] = {
    "fly": _fly,
    "compare": _compare,
    "aim": _aim,
    "mix": _mix,
    "levers": _levers,
    "reach": _reach,
    "fit": _fit,
}
