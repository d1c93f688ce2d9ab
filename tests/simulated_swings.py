"""Records of swings of hitters who are known: an invented pitcher's throws, and what the model says they would do."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import numpy as np

from latebreak.perception.parameters import Parameters
from latebreak.perception.swings.record import Record
from latebreak.service.judging.judged_pitch import Hitter, hitter_of
from latebreak.service.questions.fitting.base import read_base
from latebreak.service.questions.teaching.record_of import record_of
from latebreak.service.questions.teaching.rows import swing_rows
from latebreak.service.throws import read_throws

BASE = "two-grips"  # a college right-hander
HEADER = (
    "pitch", "day", "hitter", "bats", "balls", "strikes", "speed_mph", "arrival_speed_mph", "arrival_side_ft",
    "arrival_height_ft", "induced_side_break_in", "induced_vertical_break_in", "swing", "miss",
)  # fmt: skip
#: Share, speed and its SD (mph), movement (in), mean place and its SDs (ft) of each pitch; invented.
PITCHES = {
    "fastball": (0.55, 91.0, 1.0, (-7.0, 16.0), (0.0, 2.6), (0.8, 0.9)),
    "curve": (0.25, 77.0, 1.2, (7.0, -9.0), (0.3, 1.9), (0.8, 0.9)),
    "changeup": (0.2, 82.0, 1.0, (-13.0, 7.0), (-0.4, 2.0), (0.8, 0.8)),
}

Cells = dict[str, str]


def pitches(count: int, seed: int, days: int = 20, hitters: tuple[str, ...] = ("Abel", "Bo", "Cy")) -> list[Cells]:
    """Pitches that nobody swung at yet."""
    rng = np.random.default_rng(seed)
    rows = []
    for number in range(count):
        name = str(rng.choice(list(PITCHES), p=[one[0] for one in PITCHES.values()]))
        _, speed, sd, movement, place, scatter = PITCHES[name]
        thrown = rng.normal(speed, sd)
        numbers = (thrown, 0.915 * thrown, *rng.normal(place, scatter), *rng.normal(movement, 1.0))
        words = (
            name, f"{1 + number * days // count:03d}", str(rng.choice(hitters)), str(rng.choice(["right", "left"])),
            str(rng.integers(4)), str(rng.integers(3)),
        )  # fmt: skip
        rows.append(dict(zip(HEADER, (*words, *(f"{value:.3f}" for value in numbers), "no", "no"), strict=True)))
    return rows


def write(path: Path, rows: list[Cells]) -> Path:
    """Write rows as CSV."""
    with path.open("w", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return path


def known_hitter() -> Hitter:
    """The hitter of the base."""
    return hitter_of(read_base(BASE, None, None).scenario)


def record(path: Path) -> Record:
    """The record that a file makes, outliers kept."""
    base, hitter = read_base(BASE, None, None), known_hitter()
    rows = swing_rows(read_throws(path), "college", "right")
    return record_of(rows, base, hitter.situation.zone, None)[0]


def swung(rows: list[Cells], truth: Parameters, seed: int, path: Path) -> list[Cells]:
    """The same pitches with what a hitter of these parameters does; `path` is for the way through a file."""
    rng = np.random.default_rng(seed)
    swing, met = record(write(path, rows)).answers(known_hitter().model, truth)
    swings = rng.random(len(rows)) < swing
    misses = swings & (rng.random(len(rows)) > met / np.maximum(swing, 1e-9))
    said = ("no", "yes")
    return [
        {**row, "swing": said[int(a)], "miss": said[int(b)]} for row, a, b in zip(rows, swings, misses, strict=True)
    ]


def simulated(rows: list[Cells], truth: Parameters, seed: int, path: Path) -> Record:
    """The record of these pitches and this hitter."""
    return record(write(path, swung(rows, truth, seed, path)))


def first_days(whole: Record, pitches: int) -> Record:
    """The same record of which the first pitches are learnt from."""
    return replace(whole, fitted=np.arange(whole.kind.size) < pitches)
