"""The command as it is installed, what it is fed, and what every message and table of it must be."""

import csv
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

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


def toml(table: dict[str, Any], path: tuple[str, ...] = ()) -> str:
    """Write nested tables as TOML; JSON's basic strings and numbers are TOML's, but for nan and inf."""
    plain = [
        f"{json.dumps(key)} = {str(value) if isinstance(value, float) else json.dumps(value)}"
        for key, value in table.items()
        if not isinstance(value, dict)
    ]
    inner = [toml(value, (*path, key)) for key, value in table.items() if isinstance(value, dict)]
    head = [f"[{'.'.join(json.dumps(part) for part in path)}]"] if path else []
    return "\n".join([*head, *plain, *inner])
