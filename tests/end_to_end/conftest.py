"""The command line in this process, and scenario files to feed it."""

import re
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import pytest
from commands import Run

from latebreak.service.cli.main import status
from latebreak.service.scenario.starter import starter_text
from latebreak.service.sweep import pool


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run the command line in this process: exit status, stdout, stderr with a line for each fault."""

    def run_words(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["latebreak", *words])
        found = status()
        out, err = capsys.readouterr()
        return found, out, re.sub(r"\n  (?=\S)", " ", err)

    return run_words


@pytest.fixture
def file(tmp_path: Path) -> Callable[[str | bytes], str]:
    """Write a scenario file and return its path."""

    def write(content: str | bytes) -> str:
        path = tmp_path / "bullpen.toml"
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return str(path)

    return write


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a scenario, to work in."""
    (tmp_path / "base.toml").write_text(starter_text("base"))
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def threads(monkeypatch: pytest.MonkeyPatch) -> list[int | None]:
    """Threads in place of worker processes, which take seconds to start; notes how many were asked for."""
    asked: list[int | None] = []

    @contextmanager
    def in_threads(workers: int | None = None) -> Iterator[Executor]:
        asked.append(workers)
        with ThreadPoolExecutor(workers or 2) as executor:
            yield executor

    monkeypatch.setattr(pool, "process_pool", in_threads)
    return asked
