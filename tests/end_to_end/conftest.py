"""The command line in this process, and scenario files to feed it."""

import re
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from latebreak.service.cli.main import status

Run = Callable[..., tuple[int, str, str]]


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
