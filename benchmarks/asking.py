"""How long answers take: each question, through the service, in a new process, and with many throws."""

from __future__ import annotations

import importlib
import tempfile
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from end_to_end.test_large_runs import ONE_PITCH
from serving import serving

import latebreak.service.questions as ask
from benchmarks.measuring import Effort, Row, Timed, run, take_turns
from latebreak.service.client import Client
from latebreak.service.scenario import load

GRIPS = "two-grips"
PITCH = "curve_standard"
THROWS = 10_000
FEW = 1_000
BATCH, CALLERS = 32, 4


def page() -> str:
    """What `latebreak report` does, but for the file; jinja2 and matplotlib may not be installed."""
    pages = importlib.import_module("latebreak.service.report.page")
    material = importlib.import_module("latebreak.service.report.material")
    text: str = pages.render(material.gather(GRIPS, throws=THROWS))
    return text


QUESTIONS: dict[str, Callable[[], object]] = {
    "fly": lambda: ask.fly(GRIPS, throws=THROWS),
    "compare": lambda: ask.compare(GRIPS, throws=THROWS),
    "compare, no interval": lambda: ask.compare(GRIPS, throws=THROWS, intervals=False),
    "compare, 1,000 throws": lambda: ask.compare(GRIPS, throws=FEW),
    "compare, 1,000 throws, no interval": lambda: ask.compare(GRIPS, throws=FEW, intervals=False),
    "levers": lambda: ask.levers(GRIPS, pitch=PITCH, throws=THROWS),
    "reach": lambda: ask.reach(GRIPS, pitch=PITCH, measure="miss_chance_percent", goal="+3", throws=THROWS),
    "aim": lambda: ask.aim(GRIPS, pitch=PITCH, throws=THROWS),
    "mix": lambda: ask.mix(GRIPS, throws=THROWS),
    "fit, 24 measured throws": lambda: ask.fit("new-grip", base="before-the-bullpen", columns="new-grip"),
    "report, the whole page": page,
}


def measure_questions(effort: Effort) -> Iterator[Row]:
    """Each question in this process, with all its cores."""
    for name, question in QUESTIONS.items():
        try:
            timed = take_turns({name: question}, effort)
        except ModuleNotFoundError as error:
            yield Row(f"question.{name}", "questions in process", name, note=f"{error.name} is not installed")
            continue
        value, scatter = timed.median(name)
        yield Row(f"question.{name}", "questions in process", name, 1e3 * value, "ms", scatter)


def measure_service(effort: Effort) -> Iterator[Row]:
    """A bare call, a question over the wire and in process by turns, and many questions at once."""
    group = "service, on this machine"
    asked: dict[str, dict[str, Any]] = {
        "no interval": {"throws": FEW, "intervals": False},
        "intervals": {"throws": THROWS},
    }
    with serving() as served, Client(served.address) as client:
        timed = take_turns({"bare": client.models}, effort)
        value, scatter = timed.median("bare")
        yield Row("service.bare", group, "a bare call: names of models", 1e3 * value, "ms", scatter)
        for key, how in asked.items():
            either = {"wire": partial(client.compare, GRIPS, **how), "here": partial(ask.compare, GRIPS, **how)}
            timed = take_turns(either, effort)
            value, scatter = timed.median("wire")
            more = 1e3 * float(np.median(timed.seconds["wire"] - timed.seconds["here"]))
            note = f"{more:+.1f} ms beside the same in process"
            name = f"compare, {how['throws']:,} throws, {key}"
            yield Row(f"service.{key}", group, name, 1e3 * value, "ms", scatter, note=note)
        with ThreadPoolExecutor(CALLERS) as callers:
            scenario = load(GRIPS)

            def one(seed: int) -> object:
                return client.compare(scenario, seed=seed, **asked["no interval"])

            def batch() -> None:
                list(callers.map(one, range(BATCH)))

            timed = take_turns({"batch": batch}, effort)
        value, scatter = timed.rate("batch", BATCH)
        name = f"{BATCH} such questions without interval, {CALLERS} callers at once"
        yield Row("service.batch", group, name, value, "answers/s", scatter)


def measure_starts(effort: Effort) -> Iterator[Row]:
    """The installed command in a new process."""
    group = "command in a new process"
    starts = {"--help": ["--help"], "fly": ["fly", GRIPS], "compare": ["compare", GRIPS]}
    run(*starts["compare"])  # from here on its kernels are compiled
    for name, arguments in starts.items():
        took = [run(*arguments) for _ in range(effort.rounds)]
        yield _started(f"start.{name}", group, f"latebreak {' '.join(arguments)}, kernels compiled", took)
    if effort.cold:
        with tempfile.TemporaryDirectory() as folder:
            took = [run(*starts["compare"], env={"NUMBA_CACHE_DIR": folder})]
        yield _started("start.cold", group, f"latebreak compare {GRIPS}, the very first: compiles its kernels", took)


def measure_growth(effort: Effort) -> Iterator[Row]:
    """`fly` with more and more throws: time and memory of the whole process."""
    with tempfile.TemporaryDirectory() as folder:
        scenario = Path(folder, "one-pitch.toml")
        scenario.write_text(ONE_PITCH, encoding="utf-8")
        throws = 100
        while throws <= effort.most_throws:
            repeats = min(effort.rounds, 3 if throws <= 1_000_000 else 1)
            took = [run("fly", scenario, "--throws", str(throws)) for _ in range(repeats)]
            yield _started(f"growth.{throws}", "latebreak fly, one pitch, new process", f"{throws:,} throws", took)
            throws *= 10


def _started(key: str, group: str, name: str, took: list[tuple[float, float | None]]) -> Row:
    """Row of a process that was run several times: s and MiB of each."""
    value, scatter = Timed({key: np.array([seconds for seconds, _ in took])}).median(key)
    return Row(key, group, name, value, "s", scatter, memory=max((peak for _, peak in took if peak), default=None))
