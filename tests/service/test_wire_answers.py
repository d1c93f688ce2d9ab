"""Answers on the wire: built again from a message, equal to the digit, from this and from later versions."""

import json
from collections.abc import Callable, Iterator
from math import inf, nan
from typing import Any

import numpy as np
import pytest
from following import KEPT
from google.protobuf.message import Message
from hypothesis import given
from hypothesis import strategies as st
from simulated_bullpen import as_csv, measured
from starters import Json, starter
from wired import TEXT, sent

from latebreak.engine.bundle.movement import CAUSES
from latebreak.engine.flight.outcome import OUTCOMES
from latebreak.service import questions as ask
from latebreak.service.plain import plain
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
from latebreak.service.questions.fitting.trade import LEVER_KEYS
from latebreak.service.questions.fly import KEYS, Movement, PitchArrivals
from latebreak.service.questions.frontier import FrontierPoint
from latebreak.service.questions.goal import MEASURES, Goal
from latebreak.service.questions.leaks import CALLED, Leak
from latebreak.service.questions.lever import LEVERS
from latebreak.service.questions.levers import Move
from latebreak.service.questions.mix import Curve, Mix
from latebreak.service.questions.road import Road
from latebreak.service.questions.verdict import Better
from latebreak.service.scenario import from_mapping, load
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS
from latebreak.service.scenario.ready import ready_names
from latebreak.service.throws import Flag, parse_throws
from latebreak.service.wire.answers import answer_of, fill_answer
from latebreak.service.wire.scenarios import message_of, scenario_of
from latebreak.v1 import what_if_pb2

RESPONSES: dict[str, type[Message]] = {
    "fly": what_if_pb2.FlyResponse,
    "compare": what_if_pb2.CompareResponse,
    "aim": what_if_pb2.AimResponse,
    "mix": what_if_pb2.MixResponse,
    "levers": what_if_pb2.LeversResponse,
    "reach": what_if_pb2.ReachResponse,
    "fit": what_if_pb2.FitThrowsResponse,
}

THROWS = 120


def through_the_wire(answer: Answer[Any]) -> Answer[Any]:
    message = RESPONSES[answer.command]()
    fill_answer(message, answer)
    return answer_of(sent(message))


def bullpen(count: int, seed: int) -> bytes:
    truth, rng = load("two-grips").scenario, np.random.default_rng(seed)
    names = ("fastball", "curve_spike", "curve_standard")
    content: bytes = as_csv({name: measured(truth, name, count, rng) for name in names})
    return content


def fitted(count: int, *, later: bool = False, **how: Any) -> Answer[FitResult]:
    first = parse_throws(bullpen(count, 1), source="first.csv")
    second = parse_throws(bullpen(count, 2), source="second.csv") if later else None
    return ask.fit(first, later=second, base="two-grips", **how)


#: Curves in the dirt: of three throws none arrives, of one throw nothing can be told about the error.
IN_THE_DIRT = starter()
IN_THE_DIRT["pitch"]["curve"] |= {"target_height_ft": 0.3, "spread": {"launch_elevation_deg": 3.0}}
#: A slow ball without spin, at the end of what can be: steps of levers are cut.
AT_THE_END = starter()
AT_THE_END["pitch"]["curve"] |= {"spin_rpm": 5990, "efficiency_percent": 99.0, "release_height_ft": 9.9}


@pytest.mark.parametrize(
    "question",
    [
        lambda: ask.fly("staff", throws=THROWS),
        lambda: ask.fly(from_mapping(IN_THE_DIRT), throws=3, seed=13),
        lambda: ask.compare("two-grips", throws=THROWS),
        lambda: ask.compare("two-grips", throws=THROWS, intervals=False),
        lambda: ask.compare("staff", pitches=["sinker", "curve"], throws=THROWS, intervals=False),
        lambda: ask.compare(from_mapping(IN_THE_DIRT), throws=3, seed=13),
        lambda: ask.compare(from_mapping(IN_THE_DIRT), throws=1, intervals=False),
        lambda: ask.levers("two-grips", pitch="curve_spike", throws=THROWS),
        lambda: ask.levers("youth-46ft", pitch="changeup", throws=THROWS, intervals=False),
        lambda: ask.levers(from_mapping(AT_THE_END), pitch="curve", throws=THROWS, intervals=False),
        lambda: ask.reach("staff", pitch="curve", measure="late_break_in", goal="+0.2", throws=THROWS),
        lambda: ask.reach("staff", pitch="curve", measure="late_break_in", goal="=-30", throws=THROWS, intervals=False),
        lambda: ask.reach(
            "staff", pitch="curve", measure="late_break_in", goal="like:changeup", throws=THROWS, intervals=False
        ),
        lambda: ask.reach(
            "staff", pitch="curve", measure="late_break_in", goal=0.0, by=["spin_rpm"], throws=THROWS, intervals=False
        ),
        lambda: fitted(12),
        lambda: fitted(1),
        lambda: fitted(12, later=True),
        lambda: fitted(12, later=True, goal=KEPT, throws_per_pitch=THROWS),
    ],
    ids=[
        "fly",
        "fly: none arrives",
        "compare",
        "compare without interval",
        "compare some",
        "compare: none arrives",
        "compare one throw",
        "levers",
        "levers without interval",
        "levers: steps are cut",
        "reach a change",
        "reach what can't be reached",
        "reach another pitch",
        "reach by one lever",
        "fit",
        "fit one throw each",
        "fit two sessions",
        "fit with a goal",
    ],
)
def test_an_answer_comes_back_equal_to_the_digit_and_in_order(question: Callable[[], Answer[Any]]) -> None:
    answer = question()
    back = through_the_wire(answer)
    assert json.dumps(back.to_dict(), allow_nan=False) == json.dumps(answer.to_dict(), allow_nan=False)
    assert repr(back) == repr(answer)  # as an object too, part by part


def test_the_cases_above_hold_what_they_are_there_for() -> None:
    nothing = plain(ask.compare(from_mapping(IN_THE_DIRT), throws=3, seed=13).result.pitches["curve"]["late_break_in"])
    assert nothing == {"value": None, "sampling_error": None}
    moves = ask.levers(from_mapping(AT_THE_END), pitch="curve", throws=THROWS, intervals=False).result.levers
    assert any(move.note for move in moves.values())
    assert ask.fly(from_mapping(IN_THE_DIRT), throws=3, seed=13).result.pitches["curve"].outcomes["arrived"] == 0


def test_an_interval_that_was_not_asked_for_is_unset() -> None:
    for intervals in (True, False):
        message = what_if_pb2.CompareResponse()
        fill_answer(message, ask.compare("two-grips", throws=THROWS, intervals=intervals))
        estimate = sent(message).result.pitches["curve_spike"].late_break_in
        assert (estimate.HasField("low"), estimate.HasField("high")) == (intervals, intervals)
        assert estimate.HasField("value")


# --- answers of every kind ------------------------------------------------------------------------------------------
NUMBERS = st.floats(allow_nan=False, allow_infinity=False)
ANY = st.floats()
SAID = st.lists(TEXT, max_size=3).map(tuple)
COUNTS = st.integers(0, 2**63)


def estimates() -> st.SearchStrategy[Estimate]:
    """With an interval or without; a value that is none has no interval."""
    return (
        st.builds(Estimate, NUMBERS, ANY)
        | st.builds(Estimate, NUMBERS, ANY, NUMBERS, NUMBERS)
        | st.builds(Estimate, st.sampled_from([nan, inf, -inf]), ANY)
    )


def some_of(keys: Any, values: st.SearchStrategy[Any]) -> st.SearchStrategy[Json]:
    """Some keys in the order in which answers have them."""
    return st.fixed_dictionaries({}, optional=dict.fromkeys(keys, values)).map(
        lambda found: {key: found[key] for key in keys if key in found}
    )


def all_of(keys: tuple[str, ...], values: st.SearchStrategy[Any]) -> st.SearchStrategy[Json]:
    """Every key, in this order."""
    return st.tuples(*[values] * len(keys)).map(lambda drawn: dict(zip(keys, drawn, strict=True)))


def named(values: st.SearchStrategy[Any]) -> st.SearchStrategy[Json]:
    return st.dictionaries(TEXT, values, max_size=3)


FLAGS = st.builds(Flagged, TEXT, st.builds(Flag, COUNTS, TEXT, TEXT, TEXT, st.booleans()))
MEASURED = some_of(MEASURES, estimates())
FITTED_KEYS = (
    *LEVER_KEYS,
    "efficiency_percent",
    "target_side_ft",
    "seam_force",
    *(SPREAD + key for key in SPREAD_KEYS),
)
BETTER = st.builds(Better, st.none() | TEXT, st.sampled_from(MEASURES), st.none() | estimates(), st.none() | NUMBERS)
TARGETS = st.builds(Target, NUMBERS, NUMBERS, estimates())
MIXES = st.builds(Mix, named(NUMBERS), estimates(), named(estimates()))
SEVERAL = st.lists(NUMBERS, max_size=3).map(tuple)
RESULTS: dict[str, st.SearchStrategy[Any]] = {
    "fly": named(
        st.builds(
            PitchArrivals,
            some_of(KEYS, st.builds(OverThrows, *[st.none() | ANY] * 5)),
            all_of(OUTCOMES, COUNTS),
            all_of(CAUSES, st.builds(Movement, st.none() | NUMBERS, st.none() | NUMBERS)),
        )
    ).map(FlyResult),
    "compare": st.builds(
        CompareResult,
        TEXT,
        named(MEASURED),
        BETTER,
        SAID,
        TEXT,
        named(MEASURED),
        named(named(MEASURED)),
        named(named(estimates())),
        st.lists(
            st.builds(BeforeHitter, st.sampled_from(["right", "left"]), NUMBERS, named(estimates()), BETTER), max_size=2
        ).map(tuple),
    ),
    "aim": st.builds(
        AimResult,
        TEXT,
        TEXT,
        st.sampled_from(MEASURES),
        TARGETS,
        TARGETS,
        estimates(),
        st.none() | NUMBERS,
        named(estimates()),
        st.lists(st.builds(Place, NUMBERS, NUMBERS, st.none() | NUMBERS), max_size=3).map(tuple),
        SAID,
        TEXT,
    ),
    "mix": st.builds(
        MixResult,
        TEXT,
        st.sampled_from(MEASURES),
        MIXES,
        MIXES,
        estimates(),
        st.none() | NUMBERS,
        named(NUMBERS),
        NUMBERS,
        named(st.builds(Curve, SEVERAL, SEVERAL, NUMBERS, NUMBERS)),
        SAID,
    ),
    "levers": st.builds(
        LeversResult,
        TEXT,
        TEXT,
        MEASURED,
        some_of([lever.key for lever in LEVERS][::-1], st.builds(Move, NUMBERS, MEASURED, TEXT)),
        some_of(list(CALLED)[::-1], st.builds(Leak, TEXT, NUMBERS, NUMBERS, estimates(), NUMBERS)),
        SAID,
        TEXT,
    ),
    "reach": st.builds(
        ReachResult,
        TEXT,
        TEXT,
        st.sampled_from(MEASURES),
        st.builds(Goal, st.sampled_from(["value", "change"]), NUMBERS)
        | st.builds(Goal, st.just("like"), st.just(0.0), TEXT.filter(bool)),
        NUMBERS,
        estimates(),
        named(st.builds(Road, estimates(), NUMBERS, st.booleans(), TEXT, ANY)),
        st.lists(st.builds(FrontierPoint, NUMBERS, NUMBERS), max_size=3).map(tuple),
        TEXT,
    ),
    "fit": st.builds(
        FitResult,
        named(
            st.builds(
                PitchFit,
                st.none() | TEXT,
                COUNTS,
                COUNTS,
                st.dictionaries(TEXT, COUNTS, max_size=3),
                st.lists(FLAGS, max_size=2).map(tuple),
                some_of(FITTED_KEYS, estimates()),
                some_of(FITTED_KEYS, st.sampled_from(["measured", "inferred", "assumed"])),
                SAID,
            )
        ),
        all_of(("read", "used", "left_out"), COUNTS),
        st.lists(FLAGS, max_size=2).map(tuple),
        TEXT,
        named(st.dictionaries(TEXT, st.builds(Change, estimates(), NUMBERS), max_size=3)),
        named(SAID),
    ),
}


@pytest.mark.parametrize("command", RESULTS)
@given(data=st.data())
def test_any_answer_comes_back_equal_to_the_digit_and_in_order(command: str, data: st.DataObject) -> None:
    seeds, texts = st.integers(0, 2**63 - 1), st.lists(TEXT, max_size=2).map(tuple)
    result = data.draw(RESULTS[command])
    answer = Answer(
        command, data.draw(TEXT), data.draw(seeds), data.draw(COUNTS), data.draw(texts), data.draw(texts), result
    )
    back = through_the_wire(answer)
    assert json.dumps(back.to_dict(), allow_nan=False) == json.dumps(answer.to_dict(), allow_nan=False)


# --- other versions -------------------------------------------------------------------------------------------------
#: Fields that no message has: number 15000 as text, 15001 as double, 15002 as a message in a message.
UNKNOWN = b"\xc2\xa9\x07\x05later" + b"\xc9\xa9\x07" + bytes(8) + b"\xd2\xa9\x07\x05\xc2\xa9\x07\x01x"


def parts(message: Message) -> Iterator[Message]:
    """The message and every message in it."""
    yield message
    for field, value in message.ListFields():
        if field.message_type is None:
            continue
        if field.message_type.GetOptions().map_entry:
            inner = list(value.values()) if field.message_type.fields_by_name["value"].message_type else []
        else:
            inner = list(value) if field.is_repeated else [value]
        for one in inner:
            yield from parts(one)


def of_a_later_version(message: Message) -> Any:
    """The message with unknown fields in every part of it."""
    for part in list(parts(message)):
        part.MergeFromString(UNKNOWN)
    content = message.SerializeToString()
    assert content.count(b"later") == len(list(parts(message)))
    return type(message).FromString(content)


@pytest.mark.parametrize("name", ready_names())
def test_a_scenario_of_a_later_version_is_read(name: str) -> None:
    loaded = load(name)
    back = scenario_of(of_a_later_version(message_of(loaded)))
    assert (back.scenario, back.warnings) == (loaded.scenario, loaded.warnings)


def test_an_answer_of_a_later_version_is_read() -> None:
    for answer in (ask.fly("staff", throws=8), ask.compare("two-grips", throws=8, intervals=False), fitted(4)):
        message = RESPONSES[answer.command]()
        fill_answer(message, answer)
        back = answer_of(of_a_later_version(message))
        assert json.dumps(back.to_dict()) == json.dumps(answer.to_dict())
