"""The wire has a field for every key of scenarios and answers and no other; comments are true; no promise is broken."""

import ast
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from google.protobuf.descriptor import Descriptor, FieldDescriptor
from google.protobuf.descriptor_pb2 import FileDescriptorProto, FileDescriptorSet
from google.rpc import status_pb2
from wired import is_map, map_value

from latebreak.engine.bundle.movement import CAUSES
from latebreak.engine.flight.outcome import OUTCOMES
from latebreak.service.plain import plain
from latebreak.service.quantities import SPREAD
from latebreak.service.quantities.units import ClockFace
from latebreak.service.questions import (
    AimResult,
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
from latebreak.service.questions.fitting.trade import LEVER_KEYS, TARGET_KEYS
from latebreak.service.questions.fly import KEYS, Movement
from latebreak.service.questions.following.kept_goal import KeptGoal, KeptRoad, Stood, Wanted, goal_of
from latebreak.service.questions.following.result import GoalProgress, Progress, SessionProgress
from latebreak.service.questions.frontier import FrontierPoint
from latebreak.service.questions.goal import MEASURES, Goal
from latebreak.service.questions.leaks import Leak
from latebreak.service.questions.levers import Move
from latebreak.service.questions.mix import Curve, Mix
from latebreak.service.questions.paths import FEWEST_POINTS, MOST_POINTS
from latebreak.service.questions.road import Road
from latebreak.service.questions.verdict import MEASURE, Better
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS, PitchEntry
from latebreak.service.scenario.ranges import Range
from latebreak.service.scenario.section import Section
from latebreak.service.throws import Flag
from latebreak.v1 import answers_pb2, fit_pb2, goal_pb2, scenario_pb2, what_if_pb2

PROTO = Path(__file__).parents[2] / "proto"
BUF = str(Path(sys.executable).parent / "buf")
#: buf wants a folder to write to, also where the home is none.
ENVIRONMENT = {**os.environ, "BUF_CACHE_DIR": str(Path(tempfile.gettempdir()) / f"buf-{os.getpid()}")}
MODULES: dict[str, ModuleType] = {
    "answers": answers_pb2,
    "fit": fit_pb2,
    "goal": goal_pb2,
    "scenario": scenario_pb2,
    "what_if": what_if_pb2,
}

DOUBLE, STRING, BOOL = FieldDescriptor.TYPE_DOUBLE, FieldDescriptor.TYPE_STRING, FieldDescriptor.TYPE_BOOL
COUNT, BYTES = FieldDescriptor.TYPE_UINT64, FieldDescriptor.TYPE_BYTES


def run(*command: str, folder: Path = PROTO) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command, cwd=folder, env=ENVIRONMENT, capture_output=True, text=True, check=False)


def in_message(descriptor: Descriptor) -> dict[str, FieldDescriptor]:
    """The fields, but for those that only keep the order of a map."""
    named = descriptor.fields_by_name
    return {key: field for key, field in named.items() if key.removesuffix("_order") == key or key[:-6] not in named}


def message(name: str) -> Descriptor:
    found: dict[str, Descriptor] = {}
    for module in MODULES.values():
        found |= module.DESCRIPTOR.message_types_by_name
    return found[name]


def sections(kind: type[Section] = Scenario, name: str = "Scenario") -> Iterator[tuple[type[Section], Descriptor]]:
    """Every section of a scenario with the message that bears its name; a pitch is a message Pitch."""
    yield kind, message(name)
    for inner in (*kind.subsections().values(), *kind.named_sections().values()):
        yield from sections(inner, "Pitch" if inner is PitchEntry else inner.__name__)


SECTIONS = dict(sections())
METHODS = what_if_pb2.DESCRIPTOR.services_by_name["WhatIfService"].methods
ASKED = [one for one in what_if_pb2.DESCRIPTOR.message_types_by_name if one.endswith("Request")]


# --- scenarios ------------------------------------------------------------------------------------------------------
def test_every_section_has_been_walked() -> None:
    walked = {descriptor.name for descriptor in SECTIONS.values()}
    assert walked == set(scenario_pb2.DESCRIPTOR.message_types_by_name)


@pytest.mark.parametrize("section", SECTIONS, ids=lambda section: section.__name__)
def test_every_key_of_a_section_is_a_field_and_every_field_a_key(section: type[Section]) -> None:
    assert sorted(in_message(SECTIONS[section])) == sorted(section.keys())


@pytest.mark.parametrize("section", SECTIONS, ids=lambda section: section.__name__)
def test_fields_of_a_section_have_the_type_of_their_key_and_can_be_unset(section: type[Section]) -> None:
    named, others = in_message(SECTIONS[section]), section.other_keys()
    for key, field in named.items():
        quantity = section.ranges().get(others.get(key, key))
        if key in section.named_sections():
            assert map_value(field).message_type is SECTIONS[section.named_sections()[key]]
        elif key in section.subsections():
            assert field.message_type is SECTIONS[section.subsections()[key]]
        elif is_map(field):  # shares and correlations: numbers by name
            assert map_value(field).type == DOUBLE
        elif field.is_repeated:  # a factor: numbers in a row, none where it is unset
            assert key == "taught_factor"
            assert field.type == DOUBLE
        else:
            assert field.has_presence, f"{field.full_name}: unset can't be told from 0"
            assert field.type == expected_type(section, key, quantity), field.full_name


def expected_type(section: type[Section], key: str, quantity: Range | None) -> int:
    if quantity is None:
        return BOOL if section.model_fields[key].annotation is bool else STRING
    if key in section.other_keys() and isinstance(quantity.unit.other, ClockFace):
        return STRING
    return COUNT if quantity.whole else DOUBLE


def test_maps_whose_order_matters_have_a_list_that_keeps_it() -> None:
    ordered = {"Scenario.pitch", "FlyResult.pitches", "CompareResult.pitches", "LeversResult.levers"}
    ordered |= {"LeversResult.leaks", "ReachResult.levers", "FitResult.pitches"}
    ordered |= {"CompareResult.mixes", "CompareResult.counts", "AimResult.away", "MixResult.curves"}
    ordered |= {"Mix.shares_percent", "MixResult.guessed_percent", "PitchesOfMix.by_key", "ByPitch.by_key"}
    ordered |= {"KeptGoal.roads", "SessionProgress.levers"}
    ordered |= {"FitResult.changes", "FitResult.moved", "Changes.by_key", "PitchFit.origin"}
    for name in ordered:
        kind, key = name.split(".")
        order = message(kind).fields_by_name[f"{key}_order"]
        assert (order.type, order.is_repeated) == (STRING, True)


# --- answers --------------------------------------------------------------------------------------------------------
def all_of(descriptor: Descriptor, kind: Descriptor) -> set[str]:
    """Fields of one kind of message."""
    return {key for key, field in descriptor.fields_by_name.items() if field.message_type is kind}


def test_every_quantity_of_fly_is_a_field() -> None:
    arrivals = message("PitchArrivals")
    assert set(arrivals.fields_by_name) == {*KEYS, "outcomes", "movement"}
    assert all_of(arrivals, message("OverThrows")) == set(KEYS)
    assert set(message("Outcomes").fields_by_name) == set(OUTCOMES)


def test_every_measure_is_a_field_in_the_order_of_the_answer() -> None:
    fields = list(message("PitchEstimates").fields_by_name)
    assert [key for key in fields if key in MEASURES] == list(MEASURES)
    assert all_of(message("PitchEstimates"), message("Estimate")) == set(fields)


def test_every_key_of_fit_is_a_field() -> None:
    fitted = {*LEVER_KEYS, *TARGET_KEYS, "efficiency_percent", "drag_coefficient", "lift_scale"}
    fitted |= {"seam_force", "seam_force_clock_deg"}
    assert all_of(message("PitchFit"), message("Estimate")) == fitted
    assert all_of(message("SpreadEstimates"), message("Estimate")) == set(SPREAD_KEYS)
    told = set(plain(PitchFit(None, 0, 0, {}, ())))
    assert set(in_message(message("PitchFit"))) == fitted | told
    assert SPREAD.removesuffix(".") in told


ESTIMATE = Estimate(1.0, 0.1, 0.9, 1.1)
FLAGGED = Flagged("file", Flag(2, "curve", "speed_mph", "why", left_out=True))
BETTER = Better("curve", MEASURE, ESTIMATE, 90.0, too_few_draws=True)
BEFORE = BeforeHitter("left", 0.5, {}, BETTER)
TARGET = Target(0.0, 1.0, ESTIMATE)
MIX = Mix({"curve": 40.0}, ESTIMATE, {})
CURVE = Curve((5.0,), (30.0,), 5.0, 5.0)
PROGRESS = Progress(ESTIMATE, ESTIMATE, 90.0)
KEPT = goal_of({
    "title": "t", "pitch": "curve", "measure": MEASURE, "date": "2026-03-31", "seed": 1, "throws": 1, "version": "1",
    "pitcher": {"hand": "left", "level": "youth"}, "goal": {"kind": "value", "number": 1.0, "value": 1.0},
    "now": {"value": 1.0},
})  # fmt: skip
FOLLOWED = GoalProgress(KEPT, "goal", (SessionProgress("", 3, PROGRESS, {"speed_mph": PROGRESS}),))
#: What an answer is made of, as JSON with everything in it, and the message that holds it.
PARTS: list[tuple[dict[str, Any], str]] = [
    (plain(OverThrows(1.0, 1.0, 1.0, 1.0, 1.0)), "OverThrows"),
    (plain(ESTIMATE), "Estimate"),
    (plain(BETTER), "Better"),
    (plain(Move(1.0, {}, "cut")), "Move"),
    (plain(Leak("speed", 80.0, 90.0, ESTIMATE, 50.0)), "Leak"),
    (plain(Road(ESTIMATE, 1.0, True, "", 1.0, 0.0, 2.0, arrives_percent=90.0)), "Road"),
    (plain(FrontierPoint(90.0, 2000.0)), "Frontier"),
    ({"kind": "like", "number": 0.0, "pitch": "curve", "value": 1.0}, "Goal"),
    (plain(FLAGGED), "Flagged"),
    ({"session": "", "used": 3}, "SessionCount"),
    (plain(Change(ESTIMATE, 90.0)), "Change"),
    ({"read": 3, "used": 2, "left_out": 1}, "RowCounts"),
    (plain(FitResult({}, {}, (), "", {"curve": {}}, {"curve": ()}, goal=FOLLOWED)), "FitResult"),
    (dict.fromkeys(KeptGoal.model_fields), "KeptGoal"),
    (dict.fromkeys(KeptRoad.model_fields), "KeptRoad"),
    (dict.fromkeys(Wanted.model_fields), "Goal"),
    (dict.fromkeys(Stood.model_fields), "Estimate"),
    (plain(PROGRESS), "Progress"),
    (plain(FOLLOWED.sessions[0]), "SessionProgress"),
    (plain(FOLLOWED), "GoalProgress"),
    (plain(FlyResult({})), "FlyResult"),
    (
        plain(CompareResult("fastball", {}, BETTER, (), "", {}, {}, {"0-2": {"curve": ESTIMATE}}, (BEFORE,))),
        "CompareResult",
    ),
    (plain(BEFORE), "BeforeHitter"),
    (plain(Movement(1.0, 1.0)), "Movement"),
    ({cause: {} for cause in CAUSES}, "Causes"),
    (plain(TARGET), "Target"),
    (plain(Place(0.0, 1.0, 2.0)), "Place"),
    (plain(AimResult("curve", "fastball", MEASURE, TARGET, TARGET, ESTIMATE, 90.0, {}, (), (), "")), "AimResult"),
    (plain(MIX), "Mix"),
    (plain(CURVE), "Curve"),
    (plain(MixResult("fastball", MEASURE, MIX, MIX, ESTIMATE, 90.0, {}, 0.0, {}, ())), "MixResult"),
    (plain(LeversResult("curve", "fastball", {}, {}, {}, (), "")), "LeversResult"),
    (plain(ReachResult("curve", "fastball", MEASURE, Goal("change"), 1.0, ESTIMATE, {}, (), "")), "ReachResult"),
]


@pytest.mark.parametrize(("part", "name"), PARTS, ids=[name for _, name in PARTS])
def test_every_part_of_an_answer_has_its_field(part: dict[str, Any], name: str) -> None:
    assert sorted(in_message(message(name))) == sorted(part)


def test_every_part_of_an_answer_is_tested() -> None:
    held = {name for kind in (answers_pb2, fit_pb2, goal_pb2) for name in kind.DESCRIPTOR.message_types_by_name}
    elsewhere = {"PitchArrivals", "PitchEstimates", "Outcomes", "PitchFit", "SpreadEstimates"}
    stands_for_what_it_holds = {"Changes", "Sentences", "PitchesOfMix", "ByPitch"}
    assert held <= {name for _, name in PARTS} | elsewhere | stands_for_what_it_holds


@pytest.mark.parametrize("name", ["Fly", "Compare", "Aim", "Mix", "Levers", "Reach", "FitThrows"])
def test_answers_have_the_envelope_of_the_contract(name: str) -> None:
    envelope = ["command", "title", "seed", "throws", "version", "warnings", "cautions", "result"]
    assert list(message(f"{name}Response").fields_by_name) == envelope


@pytest.mark.parametrize("name", ASKED)
def test_no_request_names_a_path(name: str) -> None:
    for key, field in message(name).fields_by_name.items():
        assert not re.search(r"path|file|folder|url", key), field.full_name
    if name == "FitThrowsRequest":
        assert message(name).fields_by_name["csv"].type == BYTES


@pytest.mark.parametrize("name", [one for one in ASKED if one not in {"ListModelsRequest", "AskRequest"}])
def test_seed_and_throws_of_a_request_can_be_unset(name: str) -> None:
    for key in ("seed", "throws"):
        assert message(name).fields_by_name[key].has_presence


def test_every_question_with_one_answer_can_be_asked_among_many() -> None:
    single = {method.input_type.name: method.output_type.name for method in METHODS if not method.server_streaming}
    del single["ListModelsRequest"]
    asked, answered = (in_message(message(name)) for name in ("AskRequest", "AskResponse"))
    kinds = [(asked[key], answered[key]) for key in asked if key != "id"]
    assert {(one.message_type and one.message_type.name): other.message_type and other.message_type.name
            for one, other in kinds} == single  # fmt: skip
    assert all(one.number == other.number for one, other in kinds)


def test_the_status_among_many_is_that_of_the_standard_error_model() -> None:
    def fields(descriptor: Descriptor) -> list[tuple[str, int, int, str]]:
        kinds = [one.message_type.full_name if one.message_type else "" for one in descriptor.fields]
        return [(one.name, one.number, one.type, kind) for one, kind in zip(descriptor.fields, kinds, strict=True)]

    assert fields(message("Status")) == fields(status_pb2.Status.DESCRIPTOR)


# --- comments -------------------------------------------------------------------------------------------------------
@cache
def comments() -> dict[str, str]:
    """Comment of every message, field, service and rpc, by name; empty where there is none."""
    command = [BUF, "build", "-o", "-"]
    built = subprocess.run(command, cwd=PROTO, env=ENVIRONMENT, capture_output=True, check=True).stdout
    image = FileDescriptorSet.FromString(built)
    result: dict[str, str] = {}
    for file in image.file:
        said = {tuple(place.path): place.leading_comments for place in file.source_code_info.location}
        for number, kind in enumerate(file.message_type):
            result[kind.name] = said.get((4, number), "")
            for order, field in enumerate(kind.field):
                result[f"{kind.name}.{field.name}"] = said.get((4, number, 2, order), "")
        for number, service in enumerate(file.service):
            result[service.name] = said.get((6, number), "")
            for order, method in enumerate(service.method):
                result[f"{service.name}.{method.name}"] = said.get((6, number, 2, order), "")
    return {name: " ".join(text.split()) for name, text in result.items()}


def test_every_message_field_service_and_rpc_has_a_comment() -> None:
    told = comments()
    assert {"WhatIfService", "WhatIfService.StreamFlights", "Estimate.low", "Pitch"} <= set(told)
    assert [name for name, text in told.items() if len(text) < 5] == []


@pytest.mark.parametrize("section", SECTIONS, ids=lambda section: section.__name__)
def test_comments_give_range_and_unit_of_every_quantity(section: type[Section]) -> None:
    name, told = SECTIONS[section].name, comments()
    for key, quantity in section.ranges().items():
        low, high = (f"{end}" if isinstance(end, int) else f"{end:g}" for end in quantity.possible)
        text = told[f"{name}.{key}"]
        assert f"Range {low} to {high}" in text, f"{name}.{key}: {text}"
        assert text.endswith(f", {quantity.unit.symbol}." if quantity.unit.symbol else f"{high}."), f"{name}.{key}"


@pytest.mark.parametrize("section", SECTIONS, ids=lambda section: section.__name__)
def test_comments_give_the_unit_of_every_key_in_its_other_unit(section: type[Section]) -> None:
    name, told = SECTIONS[section].name, comments()
    for key, first in section.other_keys().items():
        other = section.ranges()[first].unit.other
        assert other is not None
        wanted = 'as a clock time from "1:00" to "12:59"' if isinstance(other, ClockFace) else f"in {other.symbol}; one"
        assert f"The same {wanted}" in told[f"{name}.{key}"]


@pytest.mark.parametrize("section", SECTIONS, ids=lambda section: section.__name__)
def test_comments_name_every_choice(section: type[Section]) -> None:
    name, told = SECTIONS[section].name, comments()
    for key in section.model_fields:
        if key not in section.ranges() and key not in section.named_sections():
            for choice in section.choices(key):
                assert f'"{choice}"' in told[f"{name}.{key}"]


def test_comments_give_the_range_of_points() -> None:
    assert f"{FEWEST_POINTS} to {MOST_POINTS}" in comments()["StreamFlightsRequest.points"]


# --- what is generated, and what is promised ------------------------------------------------------------------------
def serialized(module: Path) -> FileDescriptorProto:
    """The description of a file as its generated module holds it."""
    held = [
        node.args[0]
        for node in ast.walk(ast.parse(module.read_text()))
        if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "AddSerializedFile"
    ]
    (only,) = held
    return FileDescriptorProto.FromString(ast.literal_eval(only))


def outline(path: Path) -> dict[str, list[str]]:
    """Classes and functions of a module with the names that they assign, whatever the compiler's version."""
    result = {}
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, (ast.ClassDef, ast.FunctionDef)):
            held = [ast.unparse(one) for one in node.body if isinstance(one, (ast.AnnAssign, ast.Assign))]
            result[node.name] = sorted(held)
    return result


def test_generated_modules_are_fresh(tmp_path: Path) -> None:
    sources = sorted(str(path.relative_to(PROTO)) for path in PROTO.glob("latebreak/v1/*.proto"))
    kinds = [f"--{kind}_out={tmp_path}" for kind in ("python", "pyi", "grpc_python")]
    done = run(sys.executable, "-m", "grpc_tools.protoc", f"-I{PROTO}", *kinds, *sources)
    assert done.returncode == 0, done.stderr
    for name in MODULES:
        here, fresh = (folder / "latebreak" / "v1" / f"{name}_pb2" for folder in (PROTO, tmp_path))
        assert serialized(here.with_suffix(".py")) == serialized(fresh.with_suffix(".py")), name
        assert outline(here.with_suffix(".pyi")) == outline(fresh.with_suffix(".pyi")), name
    stubs = [folder / "latebreak" / "v1" / "what_if_pb2_grpc.py" for folder in (PROTO, tmp_path)]
    assert outline(stubs[0]) == outline(stubs[1])
    assert {"Fly", "StreamFlights", "WhatIfServiceStub"} <= set(outline(stubs[0]))


def test_modules_in_use_are_the_files_beside_them() -> None:
    for name, module in MODULES.items():
        held = FileDescriptorProto()
        module.DESCRIPTOR.CopyToProto(held)
        assert held == serialized(PROTO / "latebreak" / "v1" / f"{name}_pb2.py")


def test_lint_has_nothing_to_say() -> None:
    done = run(BUF, "lint")
    assert (done.returncode, done.stdout + done.stderr) == (0, "")


def breaking(folder: Path) -> subprocess.CompletedProcess[str]:
    """Hold the files of a folder against what was promised."""
    return run(BUF, "breaking", "--against", str(PROTO / "baseline.binpb"), folder=folder)


def test_nothing_that_was_promised_is_broken() -> None:
    done = breaking(PROTO)
    assert (done.returncode, done.stdout + done.stderr) == (0, "")


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("scenario.proto", r"  optional double speed_mph = 3;\n", ""),
        ("scenario.proto", "optional double speed_mph = 3;", "optional float speed_mph = 3;"),
        ("answers.proto", "Estimate late_break_in = 17;", "Estimate late_break_in = 171;"),
        ("answers.proto", "optional double sampling_error = 4;", "double sampling_error = 4;"),
        ("what_if.proto", r"  rpc Levers\(.*\n", ""),
        ("what_if.proto", r"returns \(stream StreamF", "returns (StreamF"),
    ],
)
def test_a_broken_promise_is_found(tmp_path: Path, file: str, old: str, new: str) -> None:
    copy = tmp_path / "proto"
    shutil.copytree(PROTO, copy, ignore=shutil.ignore_patterns("*.py", "*.pyi", "__pycache__", "*.binpb"))
    changed = copy / "latebreak" / "v1" / file
    text, count = re.subn(old, new, changed.read_text(), count=1)
    assert count == 1
    changed.write_text(text)
    done = breaking(copy)
    assert done.returncode == 100, done.stderr  # what the tool says of a change that breaks
    assert file in done.stdout
