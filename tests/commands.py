"""The command as it is installed, and what every message and table of it must be."""

import csv
import sys
from collections.abc import Callable
from pathlib import Path

COMMAND = str(Path(sys.executable).with_name("latebreak"))

#: Words of a command to its exit status, stdout and stderr (the fixture `run`).
Run = Callable[..., tuple[int, str, str]]


def assert_clean(text: str) -> None:
    """A message: no trace of the inside, and nothing that steers a terminal."""
    assert "Traceback" not in text
    assert 'File "' not in text
    assert all(line.isprintable() for line in text.split("\n"))


def rows(path: Path) -> list[dict[str, str]]:
    """Rows of a table."""
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))
