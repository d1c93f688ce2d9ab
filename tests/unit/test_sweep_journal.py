"""The journal of a sweep on disk: what is finished is kept, whatever comes between, and nothing else is touched."""

import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing, suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from latebreak.service.sweep.asking import ANSWERED, Ask, Outcome
from latebreak.service.sweep.journal import JournalError, journal_beside
from latebreak.service.sweep.what_ifs import Axis, WhatIfs

SOFTWARE = {"latebreak": "1.2.3", "numpy": "2.0", "force law odd_lift": "odd 1.0, values 3f2a"}
ASK = Ask({"": {"title": "t", "pitch": {}}}, ("late_break_in",), software=SOFTWARE)
WHAT_IFS = WhatIfs((Axis(("pitch.curve.speed_mph",), ((70.5,), (71,), (-1.0,))), Axis(("pitcher.hand",), (("=1",),))))
NUMBERS = dict(zip(ASK.columns, (-12.345678901234567, 0.1, None, 1e-300), strict=True))
ROAD = {"pitch": "curve", "lever": "spin_rpm", "change": {"value": 0.1 + 0.2}, "new_value": 2500.0}
GOOD = Outcome(ANSWERED, {"curve": NUMBERS, "-slow": NUMBERS}, "curve", 87.5, ("unusual", "very"), 1.0 / 3.0, ROAD)
OUTCOMES = [GOOD, GOOD, Outcome("pitch.curve.speed_mph: -1 mph is outside", {})]


def kept(
    table: Path, *numbers: int, ask: Ask = ASK, what_ifs: WhatIfs = WHAT_IFS, end: Callable[[], Any] = lambda: None
) -> list[int]:
    """Add outcomes, leave as an interrupt does, and return what was there before; `end` is called while it is open."""
    with suppress(KeyboardInterrupt), journal_beside(table, ask, what_ifs) as journal:
        before = [number for number in range(len(what_ifs)) if number in journal]
        for number in before:
            assert journal.outcome(number) == OUTCOMES[number]
        for number in numbers:
            journal.add(number, OUTCOMES[number])
            assert journal.outcome(number) == OUTCOMES[number]
        end()
        raise KeyboardInterrupt
    return before


def killed(table: Path, words: str, *more: str) -> str:
    """Run words in another process, which they may end; return the last that it said on stderr."""
    paths = os.pathsep.join([str(Path(__file__).parent), *filter(None, sys.path)])
    start = "import os, sys; from pathlib import Path; from test_sweep_journal import kept; "
    done = subprocess.run(
        [sys.executable, "-c", start + words, str(table), *more],
        capture_output=True, text=True, check=False, env={**os.environ, "PYTHONPATH": paths},
    )  # fmt: skip
    return done.stderr.splitlines()[-1] if done.stderr else ""


def test_what_is_finished_is_kept_to_the_last_digit(tmp_path: Path) -> None:
    table = tmp_path / "table.csv"
    assert kept(table, 2) == []
    assert kept(table) == [2]
    assert kept(table, 0) == [2]
    with journal_beside(table, ASK, WHAT_IFS) as journal:
        assert journal.finished == 2
        assert journal.outcome(0) == GOOD  # repr of a float reads back as the same float
        journal.add(1, GOOD)
    assert list(tmp_path.iterdir()) == []  # it ended well, so the journal has gone


def test_nothing_finished_leaves_nothing(tmp_path: Path) -> None:
    kept(tmp_path / "table.csv")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("cut", [1, 30, 1000])
def test_what_was_not_added_whole_is_dropped(tmp_path: Path, cut: int) -> None:
    """The process is killed, and the last it wrote lacks its end: the rest is there."""
    table, log = tmp_path / "table.csv", tmp_path / "table.csv.part-wal"
    killed(table, "kept(Path(sys.argv[1]), 2, 0, end=lambda: os._exit(9))")
    log.write_bytes(log.read_bytes()[:-cut])
    assert kept(table, 1) == [2]
    assert kept(table, 0) == [1, 2]
    assert kept(table) == [0, 1, 2]


@pytest.mark.parametrize("page", [1, 2, 3])
def test_a_damaged_journal_is_said_with_a_remedy(tmp_path: Path, page: int) -> None:
    table, part = tmp_path / "table.csv", tmp_path / "table.csv.part"
    kept(table, 0, 1, 2)
    whole, at = part.read_bytes(), 4096 * page
    for damaged in (whole[:at], whole[:at] + b"\xa5" * 90 + whole[at + 90 :]):
        part.write_bytes(damaged)
        with pytest.raises(JournalError, match=r"table.csv.part is damaged .* remove it"):
            kept(table)
        assert part.read_bytes() == damaged
    part.unlink()
    assert kept(table) == []


@pytest.mark.parametrize("told", ["", "[]", "{}", '{"pitches": {"curve": [1]}, "warnings": []}', None, 7])
def test_a_damaged_outcome_is_said_with_a_remedy(tmp_path: Path, told: object) -> None:
    table, part = tmp_path / "table.csv", tmp_path / "table.csv.part"
    kept(table, 0, 1, 2)
    with closing(sqlite3.connect(part)) as database:
        database.execute("CREATE TABLE other AS SELECT * FROM outcome")  # a copy does not insist on text
        database.executescript("DROP TABLE outcome; ALTER TABLE other RENAME TO outcome")
        database.execute("UPDATE outcome SET told = ? WHERE number = 1", (told,))
        database.commit()
    with pytest.raises(JournalError, match=r"table.csv.part is damaged .* remove it"):
        kept(table)


def test_a_journal_that_was_only_begun_is_none_yet(tmp_path: Path) -> None:
    table, part = tmp_path / "table.csv", tmp_path / "table.csv.part"
    part.touch()
    assert kept(table, 1) == []
    with closing(sqlite3.connect(part)) as database:
        database.executescript("DROP TABLE outcome; DROP TABLE identity")  # as it is before the first transaction
    assert kept(table, 2) == []
    assert kept(table) == [2]


@pytest.mark.parametrize(
    ("ask", "what_ifs", "words"),
    [
        (Ask({"": {"title": "u"}}, ASK.measures, software=SOFTWARE), WHAT_IFS, ["scenario"]),
        (Ask(ASK.scenarios, ASK.measures, seed=3, software=SOFTWARE), WHAT_IFS, ["options"]),
        (Ask(ASK.scenarios, ("spin_rpm",), software=SOFTWARE), WHAT_IFS, ["options"]),
        (ASK, WhatIfs(WHAT_IFS.axes[::-1]), ["what-ifs"]),
        (ASK, WhatIfs(WHAT_IFS.axes[:1]), ["what-ifs"]),
    ],
)
def test_a_journal_of_another_sweep_is_refused(tmp_path: Path, ask: Ask, what_ifs: WhatIfs, words: list[str]) -> None:
    table, part = tmp_path / "table.csv", tmp_path / "table.csv.part"
    kept(table, 0)
    before = part.read_bytes()
    with pytest.raises(JournalError) as found, journal_beside(table, ask, what_ifs):
        pass
    assert all(word in str(found.value) for word in ["table.csv.part", "another sweep", *words])
    assert part.read_bytes() == before


@pytest.mark.parametrize(
    ("here", "words"),
    [
        ({"latebreak": "1.2.4"}, "latebreak 1.2.4 instead of 1.2.3"),
        ({"numpy": "2.1"}, "numpy 2.1 instead of 2.0"),
        ({"force law odd_lift": "odd 1.0, values 77b0"}, "values 77b0 instead of odd 1.0, values 3f2a"),
        ({"hitter model odd": "odd 1.0"}, "is more"),
    ],
)
def test_what_other_software_has_computed_is_said_and_asked_again(
    tmp_path: Path, here: dict[str, str], words: str
) -> None:
    table, said = tmp_path / "table.csv", list[str]()
    kept(table, 0, 1)
    other = replace(ASK, software={**SOFTWARE, **here})
    with suppress(KeyboardInterrupt), journal_beside(table, other, WHAT_IFS, said.append) as journal:
        assert journal.finished == 0
        journal.add(2, OUTCOMES[2])
        raise KeyboardInterrupt
    (sentence,) = said
    assert "table.csv.part was computed by other software" in sentence
    assert words in sentence
    assert "the sweep starts again" in sentence
    assert kept(table, ask=other) == [2]


@pytest.mark.parametrize("content", [b"my notes\n", b"\x00" * 100, b"[]\n", b"\x00" * 5000, b"S", b"SQLite format 3"])
def test_a_file_that_is_no_journal_is_left_alone(tmp_path: Path, content: bytes) -> None:
    part = tmp_path / "table.csv.part"
    part.write_bytes(content)
    with pytest.raises(JournalError, match="move it away"), journal_beside(tmp_path / "table.csv", ASK, WHAT_IFS):
        pass
    assert part.read_bytes() == content
    assert list(tmp_path.iterdir()) == [part]


def test_the_data_base_of_somebody_else_is_left_alone(tmp_path: Path) -> None:
    part = tmp_path / "table.csv.part"
    with closing(sqlite3.connect(part)) as database:
        database.executescript("CREATE TABLE outcome (number, told); INSERT INTO outcome VALUES (0, 'mine')")
    before = part.read_bytes()
    with pytest.raises(JournalError, match="move it away"), journal_beside(tmp_path / "table.csv", ASK, WHAT_IFS):
        pass
    assert part.read_bytes() == before


def test_a_journal_is_written_through_no_link(tmp_path: Path) -> None:
    victim = tmp_path / "season.csv"
    victim.write_text("")  # an empty file could pass for a new journal
    (tmp_path / "table.csv.part").symlink_to(victim)
    with pytest.raises(JournalError, match="is a link"), journal_beside(tmp_path / "table.csv", ASK, WHAT_IFS):
        pass
    assert victim.read_text() == ""


def test_a_journal_that_can_t_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "table.csv.part").mkdir()
    with (
        pytest.raises(JournalError, match=r"table.csv.part can't be written"),
        journal_beside(tmp_path / "table.csv", ASK, WHAT_IFS),
    ):
        pass


@pytest.mark.skipif(sys.platform == "win32", reason="no such limits there")
def test_a_full_disk_keeps_what_is_finished(tmp_path: Path) -> None:
    table = tmp_path / "table.csv"
    assert kept(table, 0) == []
    last = killed(
        table,
        "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, (6000,) * 2); kept(Path(sys.argv[1]), 1, 2)",
    )
    assert "JournalError" in last
    assert "table.csv.part can't be written: " in last
    assert "what is finished is kept" in last
    assert kept(table) == [0, 1]


@pytest.mark.skipif(sys.platform == "win32", reason="no such limits there")
def test_a_disk_that_is_full_at_the_end_keeps_no_journal(tmp_path: Path) -> None:
    """The table is written by then."""
    table = tmp_path / "table.csv"
    kept(table, 0)
    ended = (
        "import resource; from test_sweep_journal import ASK, GOOD, WHAT_IFS, journal_beside\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (6000,) * 2)\n"
        "with journal_beside(Path(sys.argv[1]), ASK, WHAT_IFS) as journal:\n    journal.add(1, GOOD)"
    )
    assert killed(table, ended) == ""
    assert list(tmp_path.iterdir()) == []


def test_one_sweep_at_a_time_writes_a_table(tmp_path: Path) -> None:
    """The lock goes with the process, however it ends; here it is held by another one, then that is killed."""
    table = tmp_path / "table.csv"
    hold = "kept(Path(sys.argv[1]), 1, end=lambda: (print('held', flush=True), sys.stdin.read()))"
    path = json.dumps([str(Path(__file__).parent), *sys.path])
    start = f"import sys; sys.path = {path}; from pathlib import Path; from test_sweep_journal import kept; {hold}"
    with subprocess.Popen(
        [sys.executable, "-c", start, str(table)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "held\n"
        for _ in range(2):  # to be refused lets nobody else in
            with (
                pytest.raises(JournalError, match=r"writing .*table\.csv just now"),
                journal_beside(table, ASK, WHAT_IFS),
            ):
                pass
        holder.kill()
    assert kept(table, 0) == [1]
