"""Sweeps: every what-if is the question asked alone, whoever asks it and in whatever order the answers come."""

import csv
from collections.abc import Callable, Mapping
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from starters import starter

from latebreak.engine.errors import InputError
from latebreak.service.plain import plain
from latebreak.service.questions import compare, fly
from latebreak.service.scenario import from_mapping
from latebreak.service.scenario.starter import starter_text
from latebreak.service.sweep import MEASURES, Outcome, asking, sweep
from latebreak.service.sweep.asking import ANSWERED, Ask, VersionError
from latebreak.service.sweep.overrides import with_overrides
from latebreak.service.sweep.plan import Options, plan_from_files
from latebreak.service.sweep.planned import Plan
from latebreak.service.sweep.pool import WorkerError, process_pool
from latebreak.service.sweep.running import Swept, sweep_to_table
from latebreak.service.sweep.software import software

BASE = starter()
SPEED = "pitch.curve.speed_mph"
FEW: dict[str, Any] = {"throws": 16}


class Counting(Executor):
    """Works at once, in this thread, and counts; stops with an interrupt after some."""

    def __init__(self, stop_after: int = 10**9) -> None:
        self.count, self.stop_after = 0, stop_after

    def submit(self, function: Callable[..., Any], /, *words: Any, **named: Any) -> Future[Any]:
        if self.count == self.stop_after:
            raise KeyboardInterrupt
        self.count += 1
        future: Future[Any] = Future()
        future.set_result(function(*words, **named))
        return future


class LastFirst(Executor):
    """Waits until so many are handed over, then works from the last to the first."""

    def __init__(self, number: int) -> None:
        self.number, self.waiting = number, []  # type: ignore[var-annotated]

    def submit(self, function: Callable[..., Any], /, *words: Any, **named: Any) -> Future[Any]:
        future: Future[Any] = Future()
        self.waiting.append((future, function, words))
        if len(self.waiting) == self.number:
            for last, work, its_words in reversed(self.waiting):
                last.set_result(work(*its_words))
        return future


class Recording(ThreadPoolExecutor):
    """Threads; notes how many what-ifs were handed over and not answered at most."""

    most = now = 0

    def submit(self, function: Callable[..., Any], /, *words: Any, **named: Any) -> Future[Any]:
        self.now += 1
        self.most = max(self.most, self.now)
        return super().submit(function, *words, **named)


def plan(tmp_path: Path, *grids: str, listing: Path | None = None, **options: Any) -> Plan:
    path = tmp_path / "base.toml"
    path.write_text(starter_text("base"))
    return plan_from_files([str(path)], grids, listing, Options(**{"question": "fly", **FEW, **options}))


def run(ready: Plan, executor: Executor, table: Path, **more: Any) -> Swept:
    return sweep_to_table(ready.ask, ready.what_ifs, executor, table, **more)


# --- what is asked --------------------------------------------------------------------------------------------------
def test_the_measures_are_those_of_the_answers() -> None:
    compared = compare(from_mapping(BASE), throws=16, intervals=False).to_dict()["result"]["pitches"]["curve"]
    assert set(MEASURES["compare"]) == set(compared)
    flown = fly(from_mapping(BASE), throws=16).to_dict()["result"]["pitches"]["curve"]
    assert set(MEASURES["fly"]) == set(flown) - {"outcomes", "movement"}


def test_a_comparison_is_the_question_asked_alone() -> None:
    change: dict[str, Any] = {SPEED: 78.0, "pitcher.hand": "left"}
    (found,) = sweep(BASE, [change], Counting(), throws=16, seed=5)
    alone = compare(from_mapping(with_overrides(BASE, change)), throws=16, seed=5)
    assert found.status == ANSWERED
    assert (found.better, found.chance_percent) == (alone.result.better.pitch, alone.result.better.chance_percent)
    assert found.warnings == alone.warnings
    assert list(found.pitches) == list(alone.result.pitches) == ["curve"]
    assert len(found.pitches["curve"]) == 4 * len(MEASURES["compare"])
    for measure in MEASURES["compare"]:
        estimate = plain(alone.result.pitches["curve"][measure])
        endings = {"": "value", "_low": "low", "_high": "high", "_sampling_error": "sampling_error"}
        for ending, key in endings.items():
            assert found.pitches["curve"][measure + ending] == estimate.get(key)
    numbers: dict[str, Any] = dict(found.pitches["curve"])
    assert numbers["miss_chance_percent_low"] < numbers["miss_chance_percent"] < numbers["miss_chance_percent_high"]


def test_a_flight_is_the_question_asked_alone() -> None:
    (found,) = sweep(BASE, [{SPEED: 78.0}], Counting(), question="fly", **FEW)
    alone = fly(from_mapping(with_overrides(BASE, {SPEED: 78.0})), **FEW).result.pitches
    assert list(found.pitches) == ["fastball", "curve"]
    for name, pitch in alone.items():
        for measure, numbers in pitch.quantities.items():
            assert found.pitches[name][measure] == numbers.mean
            assert found.pitches[name][f"{measure}_sd"] == numbers.sd
            assert found.pitches[name][f"{measure}_high"] == numbers.high
    assert (found.better, found.chance_percent) == (None, None)


def test_options_of_a_comparison() -> None:
    (found,) = sweep(
        BASE, [{}], Counting(), pitches=["curve"], intervals=False, measures=["late_break_in", "late_break_in"], **FEW
    )
    assert list(found.pitches["curve"]) == ["late_break_in", "late_break_in_sampling_error"]
    assert (found.better, found.chance_percent) == ("curve", None)


def test_a_what_if_at_fault_is_an_outcome() -> None:
    """Out of range, of the wrong type, excluded, out of reach, and a comparison without a fastball."""
    changes: list[dict[str, Any]] = [
        {SPEED: 900},
        {SPEED: "fast", "pitch.curve.spin_rpm": -1},
        {"air.altitude_m": 0, "air.pressure_hpa": 900},
        {SPEED: 20},
        {"pitch.fastball.role": "offspeed"},
        {},
    ]
    found = sweep(BASE, changes, Counting(), intervals=False, **FEW)
    words = ["10 to 130 mph", "'fast'", "exclude each other", "no launch direction", "needs a fastball", ANSWERED]
    assert all(word in one.status for word, one in zip(words, found, strict=True)), found
    assert "pitch.curve.spin_rpm" in found[1].status  # every fault of it
    assert [bool(one.pitches) for one in found] == [False] * 5 + [True]


def test_a_fault_of_our_own_does_not_take_the_others_with_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(loaded: Any, **options: Any) -> Any:
        if loaded.scenario.pitch["curve"].speed_mph == 75.0:
            raise ZeroDivisionError("a\x1bbug")
        return fly(loaded, **options)

    monkeypatch.setattr(asking, "fly", broken)
    swept = run(plan(tmp_path, f"{SPEED}=74,75,76"), Counting(), tmp_path / "table.csv")
    assert (swept.answered, swept.at_fault, swept.our_faults) == (2, 1, 1)
    assert swept.first_message == "a fault of latebreak, please report it: ZeroDivisionError: 'a\\x1bbug'"


@pytest.mark.parametrize("name", ["latebreak", "numpy", "numba", "force law odd_lift"])
def test_a_worker_of_other_software_does_not_answer(name: str) -> None:
    with pytest.raises(VersionError, match=rf"a worker runs {name} .* instead of 0\.0\.0"):
        Ask({"": BASE}, MEASURES["fly"], "fly", software={**software(), name: "0.0.0"})({})


@pytest.mark.parametrize(
    ("changes", "options", "words"),
    [
        ([{"pitch.curve.sped_mph": 1}, {"pitch.crve.spin_rpm": 1}], {}, ["speed_mph", "'crve'"]),
        ([{"seed": 1}], {"seed": 3}, ["seed", "swept, and given"]),
        ([{}], {"seed": -1, "throws": 0}, ["seed: -1", "throws: 0"]),
        ([{}], {"measures": ["mis_chance_percent", "x"]}, ["miss_chance_percent", "'x'"]),
        ([{}], {"measures": []}, ["no measure"]),
        ([{}], {"pitches": ["crve"]}, ["'crve'", "did you mean curve"]),
        ([{}], {"pitches": []}, ["no name"]),
        ([{}], {"question": "fly", "intervals": False}, ["belong to compare"]),
        ([{}], {"question": "fly", "measures": ["late_break_in"]}, ["of fly", "flight_time_s"]),
    ],
)
def test_faults_before_anything_is_asked(
    changes: list[dict[str, Any]], options: dict[str, Any], words: list[str]
) -> None:
    executor = Counting()
    with pytest.raises(InputError) as found:
        sweep(BASE, changes, executor, **options)
    assert all(word in str(found.value) for word in words), str(found.value)
    assert executor.count == 0


def test_nothing_to_ask() -> None:
    assert sweep(BASE, [], Counting()) == []


# --- where it is asked ----------------------------------------------------------------------------------------------
def test_the_executor_and_the_order_of_completion_do_not_matter(tmp_path: Path) -> None:
    ready = plan(tmp_path, f"{SPEED}=70:80:3", "pitcher.hand=left,right,both")
    tables = []
    with ThreadPoolExecutor(3) as threads, process_pool(2) as processes:
        for name, executor in {
            "alone": Counting(), "last first": LastFirst(9), "threads": threads, "processes": processes,
        }.items():  # fmt: skip
            swept = run(ready, executor, tmp_path / name)
            assert (swept.what_ifs, swept.rows, swept.answered, swept.at_fault) == (9, 15, 6, 3)
            tables.append((tmp_path / name).read_bytes())
    assert len(set(tables)) == 1
    rows = list(csv.DictReader(tables[0].decode().splitlines()))
    assert [(row[SPEED], row["pitcher.hand"], row["pitch"]) for row in rows[:6]] == [
        ("70.0", "left", "fastball"), ("70.0", "left", "curve"), ("70.0", "right", "fastball"),
        ("70.0", "right", "curve"), ("70.0", "both", ""), ("75.0", "left", "fastball"),
    ]  # fmt: skip


def test_no_more_than_the_window_is_handed_over(tmp_path: Path) -> None:
    ready = plan(tmp_path, f"{SPEED}=70:80:30")
    with Recording(2) as threads:

        def note(share: float) -> None:
            threads.now = max(threads.now - 1, 0)

        run(ready, threads, tmp_path / "table.csv", window=4, progress=note)
    assert threads.most <= 4


def test_the_share_that_is_done_is_told(tmp_path: Path) -> None:
    shares: list[float] = []
    run(plan(tmp_path, f"{SPEED}=70:80:4"), Counting(), tmp_path / "table.csv", progress=shares.append)
    assert shares == [0.0, 0.25, 0.5, 0.75, 1.0]


def _end_at_75(change: Mapping[str, Any]) -> Outcome:
    import os

    if change[SPEED] == 75.0:
        os._exit(1)
    return Outcome(ANSWERED, {})


def test_a_worker_process_that_ends_is_said(tmp_path: Path) -> None:
    from latebreak.service.sweep.running import as_finished

    changes = [{SPEED: 75.0}]
    with pytest.raises(WorkerError, match="fewer --workers"), process_pool(1) as processes:
        list(as_finished(_end_at_75, changes, range(1), processes))


# --- interrupted and taken up again ---------------------------------------------------------------------------------
def test_a_rerun_computes_only_what_is_missing(tmp_path: Path) -> None:
    ready, table = plan(tmp_path, f"{SPEED}=70:80:6"), tmp_path / "table.csv"
    run(ready, Counting(), tmp_path / "whole.csv")
    counts = []
    for stop_after in (2, 3, 10):
        executor = Counting(stop_after)
        if stop_after < 6:
            with pytest.raises(KeyboardInterrupt):
                run(ready, executor, table, window=1)
            assert not table.exists()
        else:
            assert run(ready, executor, table).resumed == 5
        counts.append(executor.count)
    assert counts == [2, 3, 1]
    assert table.read_bytes() == (tmp_path / "whole.csv").read_bytes()
    assert not (tmp_path / "table.csv.part").exists()


# --- lists, grids, cautions -----------------------------------------------------------------------------------------
def test_a_list_is_combined_with_every_point_of_a_grid(tmp_path: Path) -> None:
    listing = tmp_path / "list.csv"
    listing.write_text(f"{SPEED},pitch.curve.break_clock\n71,\n,6:30\n")
    ready = plan(tmp_path, "pitcher.hand=left,right", listing=listing)
    assert list(ready.what_ifs) == [
        {SPEED: 71, "pitcher.hand": "left"},
        {SPEED: 71, "pitcher.hand": "right"},
        {"pitch.curve.break_clock": "6:30", "pitcher.hand": "left"},
        {"pitch.curve.break_clock": "6:30", "pitcher.hand": "right"},
    ]


def test_all_faults_of_grids_list_and_options_at_once(tmp_path: Path) -> None:
    listing = tmp_path / "list.csv"
    listing.write_text("air.altitude\n1\n")
    with pytest.raises(InputError) as found:
        plan(tmp_path, "pitch.curve.sped_mph=1:2:3", f"{SPEED}=1:2", listing=listing, measures=["x"], seed=-1)
    for words in ("speed_mph", "'1:2' is not a range", "list.csv: air.altitude:", "'x'", "seed: -1"):
        assert words in str(found.value)
    with pytest.raises(InputError, match="nothing is swept"):
        plan(tmp_path)
    with pytest.raises(InputError, match="1,002,001 what-ifs"):
        plan(tmp_path, f"{SPEED}=70:80:1001", "pitch.curve.spin_rpm=2000:3000:1001")


def test_the_cautions_of_every_pitcher_in_the_sweep(tmp_path: Path) -> None:
    def cautions(*grids: str) -> str:
        ready = plan(tmp_path, *grids)
        return " ".join(ready.answer(run(ready, Counting(), tmp_path / "table.csv")).to_dict()["cautions"])

    assert cautions("pitch.curve.target_height_ft=1.5,2") == ""
    assert "Build up gradually" in cautions(f"{SPEED}=75,76")
    young = cautions("pitcher.age_years=12,15,30")
    assert "advises against breaking balls under 14" in young
    assert "sliders at 16 or later" in young
