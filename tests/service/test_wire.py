"""Scenarios on the wire: what is read from a message is what is read from a file."""

import json
from collections.abc import Callable
from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from starters import Json, starter
from wired import TEXT, sent

from latebreak.engine.errors import InputError
from latebreak.service import questions as ask
from latebreak.service.quantities.units import ClockFace
from latebreak.service.questions import (
    Answer,
)
from latebreak.service.scenario import Loaded, Scenario, from_mapping, load, opened
from latebreak.service.scenario.pitch_entry import PitchEntry
from latebreak.service.scenario.ranges import Range
from latebreak.service.scenario.ready import ready_names
from latebreak.service.scenario.section import Section
from latebreak.service.wire.messages import as_mapping, fill
from latebreak.service.wire.scenarios import SOURCE, message_of, scenario_of
from latebreak.v1 import scenario_pb2


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
        for key in ("expects", "correlation", "taught"):
            if table.get(key) is not None:
                table[key] = dict(sorted(table[key].items()))
    return content


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
    back = scenario_of(sent(message_of(opened(scenario)))).scenario
    assert back == scenario
    assert list(back.pitch) == list(scenario.pitch)


NAMES = st.sampled_from(["fastball", "curve", "spread", "latency_ms", "b", "a.b", "ä ö", "curve\n"]) | TEXT


def of_quantity(quantity: Range) -> st.SearchStrategy[Any]:
    if quantity.whole:
        return st.integers(0, 2**64 - 1)
    return st.floats(*quantity.possible) | st.floats()


def of_key(section: type[Section], key: str) -> st.SearchStrategy[Any]:
    quantities, others = section.ranges(), section.other_keys()
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
    if key == "taught_factor":
        return st.lists(st.floats(-100.0, 100.0) | st.floats(), min_size=1, max_size=3)
    if key in {"expects", "correlation", "taught"}:
        return st.dictionaries(NAMES, st.floats(-1.0, 1.0), min_size=1, max_size=3)
    return st.sampled_from(section.choices(key) or ["one_glance", "power_lift", "softball"]) | TEXT


@cache
def of_section(section: type[Section]) -> st.SearchStrategy[Json]:
    """Tables of a section: any of its keys, in either unit, possible or not."""
    return st.fixed_dictionaries({}, optional={key: of_key(section, key) for key in section.keys()})  # noqa: SIM118


@given(of_section(Scenario))
def test_any_tables_mean_the_same_as_a_message(mapping: Json) -> None:
    message = written(mapping)
    assert read(lambda: scenario_of(message)) == read(lambda: from_mapping(mapping, SOURCE))


@given(of_section(Scenario))
def test_any_tables_come_back_key_by_key(mapping: Json) -> None:
    back = as_mapping(written(mapping), empty=False)
    assert json.dumps(back, sort_keys=True) == json.dumps(mapping, sort_keys=True)
    assert list(back.get("pitch", ())) == list(mapping.get("pitch", ()))


def within(quantity: Range) -> tuple[float, float]:
    return quantity.usual or quantity.possible


@st.composite
def in_either_unit(draw: st.DrawFn, section: type[Section], keys: set[str]) -> Json:
    """Usual values of some keys, each in one of its units."""
    found: Json = {}
    for key in sorted(keys):
        quantity = section.ranges()[key]
        low, high = within(quantity)
        value = draw(st.integers(int(low), int(high)) if quantity.whole else st.floats(low, high))
        other = quantity.unit.other
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
        if some := draw(st.sets(st.sampled_from(sorted(section.ranges())))):
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
            some = draw(st.sets(st.sampled_from(sorted(section.ranges()))))
            if "density_kg_m3" in some:
                some -= {"temperature_c", "humidity_percent", "altitude_m", "pressure_hpa"}
            elif "pressure_hpa" in some:
                some -= {"altitude_m"}
            if {"balls", "strikes"} & some:
                some |= {"balls", "strikes"}
            if "zone_bottom_ft" in some:  # usual ones overlap: a bottom above the top
                some -= {"zone_top_ft"}
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


@given(possible_scenarios())
def test_a_possible_scenario_comes_back_equal_in_either_unit(mapping: Json) -> None:
    loaded = from_mapping(mapping, SOURCE)
    back = scenario_of(sent(message_of(loaded)))
    assert back.scenario == loaded.scenario
    assert back.warnings == loaded.warnings
    assert list(back.scenario.pitch) == list(mapping["pitch"])
    assert scenario_of(sent(message_of(opened(loaded.scenario)))).scenario == loaded.scenario


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


@pytest.mark.parametrize(
    ("table", "key", "default"),
    [("air", "humidity_percent", 50.0), ("air", "temperature_c", 20.0), ("hitter", "familiarity", 0.5)],
)
def test_zero_is_not_unset(table: str, key: str, default: float) -> None:
    zero, unset = starter(), starter()
    zero.setdefault(table, {})[key] = 0.0
    unset.setdefault(table, {}).pop(key, None)
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
