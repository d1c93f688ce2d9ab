"""Scenarios and answers through a message and its bytes: nothing is lost, nothing is moved, unset is not zero."""

import json
import tomllib
from collections.abc import Callable, Iterator
from functools import cache
from math import inf, nan
from typing import Any

import numpy as np
import pytest
from google.protobuf.message import Message
from hypothesis import given, settings
from hypothesis import strategies as st
from simulated_bullpen import as_csv, measured

from latebreak.engine.errors import InputError
from latebreak.engine.outcome import OUTCOMES
from latebreak.service import questions as ask
from latebreak.service.questions import (
    Answer,
    CompareResult,
    Estimate,
    FitResult,
    FlyResult,
    LeversResult,
    OverThrows,
    PitchFit,
    ReachResult,
)
from latebreak.service.questions.fitting.result import SPREAD, Change, Flagged
from latebreak.service.questions.fitting.trade import LEVER_KEYS
from latebreak.service.questions.fly import KEYS, PitchArrivals
from latebreak.service.questions.frontier import Frontier
from latebreak.service.questions.goal import Goal
from latebreak.service.questions.leaks import CALLED, Leak
from latebreak.service.questions.lever import LEVERS
from latebreak.service.questions.levers import Move
from latebreak.service.questions.response import MEASURES
from latebreak.service.questions.road import Road
from latebreak.service.questions.verdict import Better
from latebreak.service.scenario import Loaded, Scenario, from_mapping, load
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS, PitchEntry
from latebreak.service.scenario.quantities import ClockFace, Quantity
from latebreak.service.scenario.ready import ready_names
from latebreak.service.scenario.section import Section
from latebreak.service.scenario.starter import starter_text
from latebreak.service.throws import Flag, parse_throws
from latebreak.service.wire.answers import answer_of, fill_answer
from latebreak.service.wire.messages import as_mapping, fill
from latebreak.service.wire.scenarios import SOURCE, message_of, scenario_of
from latebreak.v1 import scenario_pb2, what_if_pb2

Json = dict[str, Any]
RESPONSES: dict[str, type[Message]] = {
    "fly": what_if_pb2.FlyResponse,
    "compare": what_if_pb2.CompareResponse,
    "levers": what_if_pb2.LeversResponse,
    "reach": what_if_pb2.ReachResponse,
    "fit": what_if_pb2.FitThrowsResponse,
}
THROWS = 120


def sent(message: Message) -> Any:
    """The message as the other side reads it."""
    return type(message).FromString(message.SerializeToString())


def written(mapping: Json) -> scenario_pb2.Scenario:
    message = scenario_pb2.Scenario()
    fill(message, mapping)
    received: scenario_pb2.Scenario = sent(message)
    return received


def read(load_it: Callable[[], Loaded]) -> tuple[str, list[str], list[str]]:
    """What reading gives: the scenario, the order of its pitches and its warnings; or the faults, in any order."""
    try:
        loaded = load_it()
    except InputError as error:
        return "", [], sorted(map(str, error.faults))
    return repr(in_any_order(loaded.scenario)), list(loaded.scenario.pitch), list(loaded.warnings)


def in_any_order(scenario: Scenario) -> Json:
    """The scenario with its correlations and shares sorted: their order does not matter."""
    content = scenario.model_dump()
    tables = [content["hitter"], *content["pitch"].values()]
    for table in tables:
        for key in ("expects", "correlation"):
            if key in table:
                table[key] = dict(sorted(table[key].items()))
    return content


# --- scenarios ------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", ready_names())
def test_a_ready_scenario_comes_back_equal(name: str) -> None:
    loaded = load(name)
    back = scenario_of(sent(message_of(loaded)))
    assert back.scenario == loaded.scenario
    assert back.warnings == loaded.warnings
    assert list(back.scenario.pitch) == list(loaded.scenario.pitch)
    assert back.tables == loaded.tables  # in the keys that were written, every one of them


@pytest.mark.parametrize("name", ready_names())
def test_a_scenario_without_its_tables_comes_back_equal(name: str) -> None:
    """A scenario that was changed in Python has no tables: it travels complete, with its defaults."""
    scenario = load(name).scenario
    back = scenario_of(sent(message_of(scenario))).scenario
    assert back == scenario
    assert list(back.pitch) == list(scenario.pitch)


#: Printable or not; a message holds every text that is UTF-8, which half a surrogate pair is not.
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
NAMES = st.sampled_from(["fastball", "curve", "spread", "b", "a.b", "ä ö", "curve\n"]) | TEXT


def of_quantity(quantity: Quantity) -> st.SearchStrategy[Any]:
    if quantity.whole:
        return st.integers(0, 2**64 - 1)
    return st.floats(*quantity.possible) | st.floats()


def of_key(section: type[Section], key: str) -> st.SearchStrategy[Any]:
    quantities, others = section.quantities(), section.other_keys()
    if key in section.subsections():
        return of_section(section.subsections()[key])
    if key in section.named_sections():
        # a map that holds nothing can't be told from none at all
        return st.dictionaries(NAMES, of_section(section.named_sections()[key]), min_size=1, max_size=3)
    if key in others and isinstance(quantities[others[key]].unit.other, ClockFace):
        return st.from_regex(r"\A(0?[1-9]|1[0-2]):[0-5][0-9]\Z") | TEXT
    if key in others or key in quantities:
        return of_quantity(quantities[others.get(key, key)])
    if section.model_fields[key].annotation is bool:
        return st.booleans()
    if key in {"expects", "correlation"}:
        return st.dictionaries(NAMES, st.floats(-1.0, 1.0), min_size=1, max_size=3)
    return st.sampled_from(section.choices(key) or ["observer", "power_lift", "softball"]) | TEXT


@cache
def of_section(section: type[Section]) -> st.SearchStrategy[Json]:
    """Tables of a section: any of its keys, in either unit, possible or not."""
    return st.fixed_dictionaries({}, optional={key: of_key(section, key) for key in section.keys()})  # noqa: SIM118


@settings(max_examples=80, deadline=None)
@given(of_section(Scenario))
def test_any_tables_mean_the_same_as_a_message(mapping: Json) -> None:
    message = written(mapping)
    assert read(lambda: scenario_of(message)) == read(lambda: from_mapping(mapping, SOURCE))


@settings(max_examples=80, deadline=None)
@given(of_section(Scenario))
def test_any_tables_come_back_key_by_key(mapping: Json) -> None:
    back = as_mapping(written(mapping), empty=False)
    assert json.dumps(back, sort_keys=True) == json.dumps(mapping, sort_keys=True)
    assert list(back.get("pitch", ())) == list(mapping.get("pitch", ()))


def within(quantity: Quantity) -> tuple[float, float]:
    return quantity.usual or quantity.possible


@st.composite
def in_either_unit(draw: st.DrawFn, section: type[Section], keys: set[str]) -> Json:
    """Usual values of some keys, each in one of its units."""
    found: Json = {}
    for key in sorted(keys):
        quantity = section.quantities()[key]
        value, other = draw(st.floats(*within(quantity))), quantity.unit.other
        if other is None or draw(st.booleans()):
            found[key] = value
        elif isinstance(other, ClockFace):
            found[other.key(key, quantity.unit.suffix)] = draw(st.from_regex(r"\A([1-9]|1[0-2]):[0-5][0-9]\Z"))
        else:
            found[other.key(key, quantity.unit.suffix)] = (value - other.offset) / other.factor
    return found


RELEASE = {"speed_mph", "spin_rpm", "break_clock_deg", "release_side_ft", "release_height_ft", "extension_ft"}


@st.composite
def possible_pitches(draw: st.DrawFn, role: str) -> Json:
    spread, means = PitchEntry.subsections()["spread"], PitchEntry.subsections()["mean_error"]
    rotation = draw(st.sampled_from(["gyro_deg", "efficiency_percent"]))
    aim = draw(
        st.sampled_from([("target_side_ft", "target_height_ft"), ("launch_elevation_deg", "launch_azimuth_deg")])
    )
    more = draw(st.sets(st.sampled_from(["drag_coefficient", "lift_scale"])))
    seams = {"seam_force", "seam_force_clock_deg"} if draw(st.booleans()) else set()
    found = draw(in_either_unit(PitchEntry, {*RELEASE, rotation, *aim, *more, *seams}))
    if rotation == "efficiency_percent" and draw(st.booleans()):
        found["gyro_sense"] = "reverse"
    for key, section in (("spread", spread), ("mean_error", means)):
        if some := draw(st.sets(st.sampled_from(sorted(section.quantities())))):
            found[key] = draw(in_either_unit(section, some))
    if draw(st.booleans()):
        found["correlation"] = {"speed_mph:spin_rpm": draw(st.floats(-0.9, 0.9))}
    return {**found, "role": role, "reference": role == "fastball"}


@st.composite
def possible_scenarios(draw: st.DrawFn) -> Json:
    """Scenarios without a fault, in either unit, with every kind of key now and then."""
    found: Json = {"pitcher": {"hand": draw(st.sampled_from(["right", "left"])), "level": "college"}}
    for key, section in Scenario.subsections().items():
        if key in {"air", "field", "ball", "hitter"} and draw(st.booleans()):
            some = draw(st.sets(st.sampled_from(sorted(section.quantities()))))
            if "density_kg_m3" in some:
                some -= {"temperature_c", "humidity_percent", "altitude_m", "pressure_hpa"}
            elif "pressure_hpa" in some:
                some -= {"altitude_m"}
            found[key] = draw(in_either_unit(section, some))
    names = draw(st.lists(st.sampled_from(["zeta", "curve", "a.b", "ä ö", "B"]), min_size=1, max_size=3, unique=True))
    names.insert(draw(st.integers(0, len(names))), "fastball")
    roles = st.sampled_from(["breaking", "offspeed"])
    found["pitch"] = {name: draw(possible_pitches("fastball" if name == "fastball" else draw(roles))) for name in names}
    if draw(st.booleans()):
        found.setdefault("hitter", {})["expects"] = dict.fromkeys(names, 1.0 / len(names))
    for key in draw(st.sets(st.sampled_from(["seed", "throws"]))):
        found[key] = draw(st.integers(1, 100_000_000))
    return found


@settings(max_examples=40, deadline=None)
@given(possible_scenarios())
def test_a_possible_scenario_comes_back_equal_in_either_unit(mapping: Json) -> None:
    loaded = from_mapping(mapping, SOURCE)
    back = scenario_of(sent(message_of(loaded)))
    assert back.scenario == loaded.scenario
    assert back.warnings == loaded.warnings
    assert list(back.scenario.pitch) == list(mapping["pitch"])
    assert scenario_of(sent(message_of(loaded.scenario))).scenario == loaded.scenario


@settings(max_examples=10, deadline=None)
@given(possible_scenarios())
def test_a_scenario_from_a_message_flies_to_the_same_places(mapping: Json) -> None:
    loaded = from_mapping(mapping, SOURCE)
    back = scenario_of(sent(message_of(loaded)))
    assert asked(lambda: ask.fly(back, throws=8)) == asked(lambda: ask.fly(loaded, throws=8))
    how: Json = {"throws": 8, "intervals": False}
    assert asked(lambda: ask.compare(back, **how)) == asked(lambda: ask.compare(loaded, **how))


def asked(question: Callable[[], Answer[Any]]) -> str:
    try:
        return json.dumps(question().to_dict(), allow_nan=False)
    except InputError as error:
        return str(error)


def starter(**changes: Json) -> Json:
    """The starter's tables, with keys of some of them changed."""
    mapping = tomllib.loads(starter_text("base"))
    for key, table in changes.items():
        mapping.setdefault(key, {}).update(table)
    return mapping


@pytest.mark.parametrize(
    ("table", "key", "default"),
    [("air", "humidity_percent", 50.0), ("air", "temperature_c", 20.0), ("hitter", "familiarity", 0.5)],
)
def test_zero_is_not_unset(table: str, key: str, default: float) -> None:
    zero, unset = starter(**{table: {key: 0.0}}), starter(**{table: {}})
    unset[table].pop(key, None)
    for mapping, wanted in ((zero, 0.0), (unset, default)):
        message = written(mapping)
        assert getattr(message, table).HasField(key) is (key in mapping[table])
        assert getattr(getattr(scenario_of(message).scenario, table), key) == wanted


def test_seed_zero_and_a_false_reference_are_not_unset() -> None:
    mapping = starter()
    mapping["seed"] = 0
    mapping["pitch"]["fastball"]["reference"] = False
    back = scenario_of(written(mapping))
    assert back.scenario.seed == 0
    assert back.tables["pitch"]["fastball"]["reference"] is False
    del mapping["seed"], mapping["pitch"]["fastball"]["reference"]
    back = scenario_of(written(mapping))
    assert back.scenario.seed == 1
    assert "reference" not in back.tables["pitch"]["fastball"]


def test_throws_zero_is_a_fault_and_unset_is_not() -> None:
    mapping = starter()
    mapping["throws"] = 0
    with pytest.raises(InputError, match="throws: 0 is outside the possible range"):
        scenario_of(written(mapping))
    del mapping["throws"]
    assert scenario_of(written(mapping)).scenario.throws == 10_000


def test_a_pitch_order_that_does_not_fit_loses_no_pitch() -> None:
    message = written(starter())
    message.pitch["zeta"].CopyFrom(message.pitch["curve"])
    message.pitch["alpha"].CopyFrom(message.pitch["curve"])
    del message.pitch_order[:]
    message.pitch_order.extend(["nobody", "zeta", "zeta", "fastball"])
    assert list(scenario_of(message).scenario.pitch) == ["zeta", "fastball", "alpha", "curve"]


# --- answers of questions -------------------------------------------------------------------------------------------
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
        lambda: ask.fly(from_mapping(IN_THE_DIRT), throws=3, seed=3),
        lambda: ask.compare("two-grips", throws=THROWS),
        lambda: ask.compare("two-grips", throws=THROWS, intervals=False),
        lambda: ask.compare("staff", pitches=["sinker", "curve"], throws=THROWS, intervals=False),
        lambda: ask.compare(from_mapping(IN_THE_DIRT), throws=3, seed=3),
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
    ],
)
def test_an_answer_comes_back_equal_to_the_digit_and_in_order(question: Callable[[], Answer[Any]]) -> None:
    answer = question()
    back = through_the_wire(answer)
    assert json.dumps(back.to_dict(), allow_nan=False) == json.dumps(answer.to_dict(), allow_nan=False)
    assert repr(back) == repr(answer)  # as an object too, part by part


def test_the_cases_above_hold_what_they_are_there_for() -> None:
    nothing = (
        ask.compare(from_mapping(IN_THE_DIRT), throws=3, seed=3).result.pitches["curve"]["late_break_in"].to_dict()
    )
    assert nothing == {"value": None, "sampling_error": None}
    moves = ask.levers(from_mapping(AT_THE_END), pitch="curve", throws=THROWS, intervals=False).result.levers
    assert any(move.note for move in moves.values())
    assert ask.fly(from_mapping(IN_THE_DIRT), throws=3, seed=3).result.pitches["curve"].outcomes["arrived"] == 0


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
RESULTS: dict[str, st.SearchStrategy[Any]] = {
    "fly": named(
        st.builds(
            PitchArrivals,
            some_of(KEYS, st.builds(OverThrows, *[st.none() | ANY] * 5)),
            all_of(OUTCOMES, COUNTS),
        )
    ).map(FlyResult),
    "compare": st.builds(
        CompareResult,
        TEXT,
        named(MEASURED),
        st.builds(Better, st.none() | TEXT, st.sampled_from(MEASURES), st.none() | NUMBERS),
        SAID,
        st.just({}),
    ),
    "levers": st.builds(
        LeversResult,
        TEXT,
        TEXT,
        MEASURED,
        some_of([lever.key for lever in LEVERS][::-1], st.builds(Move, NUMBERS, MEASURED, TEXT)),
        some_of(list(CALLED)[::-1], st.builds(Leak, TEXT, NUMBERS, NUMBERS, estimates(), NUMBERS)),
        SAID,
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
        st.lists(st.builds(Frontier, NUMBERS, NUMBERS), max_size=3).map(tuple),
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
@settings(max_examples=40, deadline=None)
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
