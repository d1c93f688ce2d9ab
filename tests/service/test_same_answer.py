"""The same question in this process, through the client, and through its asynchronous twin has the same answer."""

import asyncio
import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from serving import Served
from simulated_bullpen import as_csv, measured
from starters import starter

from latebreak.engine.errors import InputError
from latebreak.service import questions as ask
from latebreak.service.client import (
    AsyncClient,
    Client,
    OutOfTimeError,
    RefusedError,
)
from latebreak.service.quantities import Reader
from latebreak.service.questions import Answer
from latebreak.service.questions.following.goal_text import goal_text
from latebreak.service.questions.following.kept_goal import keep
from latebreak.service.scenario import Loaded, Scenario, ScenarioFileError, from_mapping, load, reference_fastball
from latebreak.service.scenario.ready import ready_names
from latebreak.service.scenario.starter import starter_text
from latebreak.service.throws import ThrowsFileError

Json = dict[str, Any]
FEW: Json = {"throws": 40}
QUICK: Json = {"throws": 40, "intervals": False}
#: Of either hand, and of the young; every ready scenario goes over the wire with `fly` and `compare`.
SOME = ("two-grips", "left-eleven-to-five", "youth-46ft")


@pytest.fixture(scope="module")
def client(server: Served) -> Iterator[Client]:
    with Client(server.address) as one:
        yield one


def told(answer: Answer[Any]) -> str:
    """Everything in an answer: the JSON in its order to the digit, and the object part by part."""
    return json.dumps(answer.to_dict(), allow_nan=False) + repr(answer)


def asynchronously(address: str, method: str, *args: Any, **how: Any) -> Answer[Any]:
    async def asked() -> Answer[Any]:
        async with AsyncClient(address) as client:
            answer: Answer[Any] = await getattr(client, method)(*args, **how)
            return answer

    return asyncio.run(asked())


def assert_the_same(server: Served, client: Client, method: str, *args: Any, **how: Any) -> Answer[Any]:
    here: Answer[Any] = getattr(ask, method)(*args, **how)
    assert told(getattr(client, method)(*args, **how)) == told(here)
    assert told(asynchronously(server.address, method, *args, **how)) == told(here)
    return here


def breaking_pitch(name: str) -> str:
    scenario = load(name).scenario
    return next(other for other in scenario.pitch if other != reference_fastball(scenario))


# --- answers --------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", ready_names())
def test_fly(server: Served, client: Client, name: str) -> None:
    assert_the_same(server, client, "fly", name, **FEW)


@pytest.mark.parametrize("name", ready_names())
def test_compare(server: Served, client: Client, name: str) -> None:
    assert_the_same(server, client, "compare", name, **QUICK)


@pytest.mark.parametrize("name", SOME)
def test_levers(server: Served, client: Client, name: str) -> None:
    assert_the_same(server, client, "levers", name, pitch=breaking_pitch(name), **QUICK)


def test_levers_of_one_measure(server: Served, client: Client) -> None:
    assert_the_same(server, client, "levers", "staff", pitch="curve", measure="late_break_in", **QUICK)


@pytest.mark.parametrize("name", SOME)
def test_reach(server: Served, client: Client, name: str) -> None:
    how: Json = {"pitch": breaking_pitch(name), "measure": "late_break_in", "by": ["spin_rpm", "speed_mph"]}
    assert_the_same(server, client, "reach", name, goal="+0.1", **how, **QUICK)


@pytest.mark.parametrize("name", ["two-grips", "youth-46ft"])
def test_intervals(server: Served, client: Client, name: str) -> None:
    here = assert_the_same(server, client, "compare", name, **FEW)
    assert here.result.pitches[breaking_pitch(name)]["late_break_in"].low is not None


@pytest.mark.parametrize("goal", ["like:changeup", "-0.1", 2.0, -3, np.float64(2.0), 1e-7, "=1.9"])
def test_every_kind_of_goal(server: Served, client: Client, goal: object) -> None:
    how: Json = {"pitch": "curve", "measure": "late_break_in", "goal": goal, "by": ["spin_rpm"]}
    here = assert_the_same(server, client, "reach", "staff", **how, **QUICK)
    assert here.result.goal.kind == {"like:changeup": "like", "-0.1": "change"}.get(str(goal), "value")


def test_some_pitches_in_the_order_that_was_asked_for(server: Served, client: Client) -> None:
    here = assert_the_same(server, client, "compare", "staff", pitches=["curve", "sinker"], **QUICK)
    assert list(here.result.pitches) == ["curve", "sinker"]


def test_seed_and_throws_in_place_of_the_scenarios_own(server: Served, client: Client) -> None:
    here = assert_the_same(server, client, "fly", "staff", seed=0, throws=1)
    assert (here.seed, here.throws) == (0, 1)
    here = assert_the_same(server, client, "fly", "staff", seed=2**63 - 1, throws=70_000)
    assert (here.seed, here.throws) == (2**63 - 1, 70_000)


def unusual() -> Json:
    """Tables whose reading has something to warn of and something to caution against."""
    mapping = starter()
    mapping["pitcher"] = {"hand": "left", "level": "youth", "age_years": 11}
    mapping["pitch"]["curve"]["spin_rpm"] = 3900
    mapping["hitter"] = {"expects": {"fastball": 0.7, "curve": 0.3}}
    mapping["pitch"]["curve"]["correlation"] = {"spin_rpm:speed_mph": 0.4, "release_side_in:extension_in": -0.2}
    return mapping


def test_warnings_and_cautions(server: Served, client: Client) -> None:
    for method, how in (("fly", {}), ("compare", {}), ("levers", {"pitch": "curve"})):
        few = FEW if method == "fly" else QUICK
        here = assert_the_same(server, client, method, from_mapping(unusual(), "unusual"), **how, **few)
        assert here.warnings
        assert here.cautions


def sources(folder: Path) -> dict[str, str | Path | Loaded | Scenario]:
    """A scenario in every way in which one can be given."""
    path = folder / "mine.toml"
    path.write_text(starter_text("mine"))
    loaded = load(path)
    moved = loaded.scenario.model_copy(update={"seed": 5, "title": "moved"})
    return {
        "path": path,
        "text": str(path),
        "loaded": loaded,
        "scenario": loaded.scenario,
        "changed": moved,
        "changed and loaded": replace(loaded, scenario=moved, tables={}),
    }


@pytest.mark.parametrize("kind", ["path", "text", "loaded", "scenario", "changed", "changed and loaded"])
def test_every_way_to_give_a_scenario(server: Served, client: Client, tmp_path: Path, kind: str) -> None:
    source = sources(tmp_path)[kind]
    here = assert_the_same(server, client, "compare", source, **QUICK)
    assert here.seed == (5 if "changed" in kind else 1)


def bullpen(folder: Path, seed: int) -> Path:
    truth, rng = load("two-grips").scenario, np.random.default_rng(seed)
    names = ("fastball", "curve_spike", "curve_standard")
    path = folder / f"day-{seed}.csv"
    content = as_csv({name: measured(truth, name, 8, rng) for name in names})
    numbers = b",1" * (content.split(b"\n")[0].count(b",") - 1)
    # a row of which a cell can't be read, and one of no pitch
    path.write_bytes(content.rstrip() + b"\ncurve_spike,fast" + numbers + b"\n,90" + numbers + b"\n")
    return path


def test_fit(server: Served, client: Client, tmp_path: Path) -> None:
    here = assert_the_same(server, client, "fit", bullpen(tmp_path, 1), base="two-grips")
    assert {one.file for one in here.result.unreadable} == {str(tmp_path / "day-1.csv")}
    assert here.result.pitches["curve_spike"].flagged


def test_fit_two_files(server: Served, client: Client, tmp_path: Path) -> None:
    first, second = bullpen(tmp_path, 1), bullpen(tmp_path, 2)
    how: Json = {"later": second, "fastball": "fastball", "seed": 3, "throws_per_pitch": 2000}
    here = assert_the_same(server, client, "fit", first, base="two-grips", **how)
    assert here.result.changes
    assert (here.seed, here.throws) == (3, 2000)


def test_fit_with_a_goal_over_three_files(server: Served, client: Client, tmp_path: Path) -> None:
    asked = ask.reach("two-grips", pitch="curve_spike", measure="miss_chance_percent", goal="+3", throws=400)
    goal = keep(asked, load("two-grips").scenario, date(2026, 3, 31))
    place = tmp_path / "goal.toml"
    place.write_text(goal_text(goal, "", "two-grips", Reader()))
    first, *later = (bullpen(tmp_path, day) for day in (1, 2, 3))
    how: Json = {"later": later, "throws_per_pitch": 400}
    here = assert_the_same(server, client, "fit", first, base="two-grips", goal=place, **how)
    assert here.result.goal is not None
    assert [one.session for one in here.result.goal.sessions] == ["day-1", "day-2", "day-3"]
    assert assert_the_same(server, client, "fit", first, base="two-grips", goal=goal, **how) == here
    place.write_text(goal_text(goal, "", "two-grips", Reader()).replace('"miss_chance', '"hit_chance'))
    errors = [refused("fit", who, first, base="two-grips", goal=place) for who in (ask, client)]
    assert str(errors[0]) == str(errors[1])
    assert errors[0].source == str(place)
    other = goal.model_copy(update={"pitch": "slider"})  # found out by the server
    errors = [refused("fit", who, first, base="two-grips", goal=other) for who in (ask, client)]
    assert str(errors[0]) == str(errors[1])


def test_fit_with_a_ready_column_map(server: Served, client: Client) -> None:
    assert_the_same(server, client, "fit", "new-grip", columns="new-grip", base="before-the-bullpen")


# --- faults ---------------------------------------------------------------------------------------------------------
def refused(method: str, where: Any, *args: Any, **how: Any) -> InputError:
    with pytest.raises(InputError) as caught:
        getattr(where, method)(*args, **how)
    return caught.value


def refused_asynchronously(address: str, method: str, *args: Any, **how: Any) -> InputError:
    with pytest.raises(InputError) as caught:
        asynchronously(address, method, *args, **how)
    return caught.value


def no_fastball() -> Loaded:
    mapping = starter()
    mapping["pitch"]["fastball"]["role"] = "offspeed"
    return from_mapping(mapping, "mine.toml")


def unreachable() -> Loaded:
    mapping = starter()
    for name in ("fastball", "curve"):
        mapping["pitch"][name] |= {"speed_mph": 15.0, "target_height_ft": 9.0}
    return from_mapping(mapping, "mine.toml")


REACH: Json = {"pitch": "curve", "measure": "late_break_in", "goal": "+0.1", **QUICK}


@pytest.mark.parametrize(
    ("method", "source", "how"),
    [
        ("compare", "staff", {"pitches": ["nobody", "four_seam"]}),
        ("compare", no_fastball, {}),
        ("levers", no_fastball, {"pitch": "curve"}),
        ("compare", unreachable, {}),
        ("fly", unreachable, {}),
        ("levers", "staff", {"pitch": "nobody\x1b[2J"}),
        ("levers", "staff", {"pitch": ""}),
        ("levers", "staff", {"pitch": "curve", "measure": ""}),
        ("levers", "staff", {"pitch": "nobody", "measure": "late_brake_in"}),
        ("reach", "staff", REACH | {"measure": "late_brake_in", "goal": "much", "by": ["spin", "speed_mph", "x"]}),
        ("reach", "staff", REACH | {"goal": "like:four_seam"}),
        ("reach", "staff", REACH | {"goal": "1e999"}),
        ("reach", "staff", REACH | {"pitch": "four_seam"}),
        ("fly", "staff", {"throws": 0}),
        ("fly", "staff", {"throws": -1, "seed": -1}),
        ("compare", "staff", {"throws": 100_000_001}),
        ("levers", "staff", {"pitch": "curve", "seed": 2**63}),
        ("fly", "staff", {"seed": 2**64, "throws": 2**64}),
    ],
)
def test_a_fault_is_the_same(server: Served, client: Client, method: str, source: Any, how: Json) -> None:
    args = (source() if callable(source) else source,)
    here = refused(method, ask, *args, **how)
    for there in (refused(method, client, *args, **how), refused_asynchronously(server.address, method, *args, **how)):
        assert str(there) == str(here)
        assert [fault.where for fault in there.faults] == [fault.where for fault in here.faults]
        assert there.source == here.source


@pytest.mark.parametrize(
    ("method", "how"),
    [
        ("compare", {"pitches": []}),
        ("reach", REACH | {"by": []}),
        ("reach", REACH | {"goal": float("nan")}),
        ("reach", REACH | {"goal": 10**400}),
        ("reach", REACH | {"goal": True}),
    ],
)
def test_what_no_message_can_hold_is_a_fault_of_the_same_key(client: Client, method: str, how: Json) -> None:
    here, there = refused(method, ask, "staff", **how), refused(method, client, "staff", **how)
    assert [fault.where for fault in there.faults] == [fault.where for fault in here.faults]


@pytest.mark.parametrize("points", [-1, 0, 2, 258, 2**32])
def test_points_that_no_path_has_are_a_fault(client: Client, points: int) -> None:
    with pytest.raises(InputError, match=rf"points: {points} is out of range; allowed: 3 to 257"):
        next(iter(client.flights("staff", points=points, throws=8)))


@pytest.mark.parametrize(
    ("content", "columns"),
    [
        (b"", None),
        (b"pitch,speed_mph\n", None),
        (b"\xff\xfe", None),
        (b"speed_mph,speed_mph\n1,2\n", None),
        (b"pitch,speed_mph\ncurve,fast\n", None),
        (b"Velo\n90\n", '[columns]\n"Velo" = {key = "speed_mph", unit = "knots"}\n'),
        (b"Velo\n90\n", "[columns\n"),
    ],
)
def test_a_fault_of_throws_is_the_same(
    server: Served, client: Client, tmp_path: Path, content: bytes, columns: str | None
) -> None:
    csv, column_map = tmp_path / "day.csv", tmp_path / "map.toml"
    csv.write_bytes(content)
    how: Json = {"base": "two-grips"}
    if columns is not None:
        column_map.write_text(columns)
        how["columns"] = column_map
    here = refused("fit", ask, csv, **how)
    for there in (refused("fit", client, csv, **how), refused_asynchronously(server.address, "fit", csv, **how)):
        assert str(there) == str(here)
        assert there.source == here.source


def many_faults(count: int) -> Loaded:
    """Many mean pitches that can't reach their target: that shows only when they are flown, on the server."""
    mapping = starter()
    for number in range(count):
        far = {"speed_mph": 15.0, "target_height_ft": 9.0}
        mapping["pitch"][f"a rather long name of pitch {number:03d}"] = mapping["pitch"]["curve"] | far
    return from_mapping(mapping, "mine.toml")


@pytest.mark.parametrize("count", [3, 12, 40])
def test_many_faults_come_through_or_it_is_said_that_there_are_more(client: Client, count: int) -> None:
    """A status travels in headers, which peers limit: what does not fit in is counted."""
    source = many_faults(count)
    here, there = refused("fly", ask, source), refused("fly", client, source)
    assert len(here.faults) == count
    shared = [str(fault) for fault in there.faults[: count if len(there.faults) == count else -1]]
    assert shared == [str(fault) for fault in here.faults[: len(shared)]]
    assert shared
    if len(shared) < count:
        assert f"{count - len(shared)} fault" in str(there).splitlines()[-1]


def test_a_fault_with_a_long_list_of_what_is_allowed_comes_through(client: Client) -> None:
    """Every name of a pitch that is not there is a fault, and each says all names that are."""
    mapping = starter()
    for number in range(100):
        mapping["pitch"][f"a rather long name of pitch ä ö {number:03d}"] = mapping["pitch"]["curve"]
    source = from_mapping(mapping, "mine.toml")
    names = [f"nobody {number}" for number in range(50)]
    here, there = (refused("compare", one, source, pitches=names, **QUICK) for one in (ask, client))
    assert there.faults[0].where == here.faults[0].where == "pitches"
    assert "there is no pitch 'nobody 0'" in str(there)


def test_a_scenario_that_is_not_there_is_told_without_a_server() -> None:
    with Client("127.0.0.1:1") as client:
        with pytest.raises(ScenarioFileError, match="neither a file nor a ready scenario"):
            client.fly("no-such-scenario")
        with pytest.raises(ThrowsFileError, match="neither a file nor"):
            client.fit("no-such-throws.csv", base="two-grips")
        with pytest.raises(InputError, match="not TOML"):
            client.compare(Path(__file__))


def test_trouble_of_a_question_has_its_exception(server: Served, client: Client) -> None:
    with pytest.raises(RefusedError, match="simulated throws") as refusal:
        client.levers("staff", pitch="curve", throws=100_000_000)
    assert refusal.value.reason == "TOO_MUCH_WORK"
    assert refusal.value.retry_after is None
    with Client(server.address, deadline=0.05) as hasty, pytest.raises(OutOfTimeError):
        hasty.levers("staff", pitch="curve", throws=20_000)
