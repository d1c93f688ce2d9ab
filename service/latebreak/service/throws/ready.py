"""Ready throws and ready column maps: where they lie and what they are called."""

from __future__ import annotations

from pathlib import Path

from latebreak.service.scenario.ready import ready_names, ready_path

THROWS, COLUMN_MAP = ".csv", ".columns.toml"


def ready_throws() -> dict[str, Path]:
    """Return the ready files of throws, by name."""
    return _ready(THROWS)


def ready_column_maps() -> dict[str, Path]:
    """Return the ready column maps, by name."""
    return _ready(COLUMN_MAP)


def _ready(ending: str) -> dict[str, Path]:
    # They lie beside the ready scenarios.
    folders = {path.parent for name in ready_names() if (path := ready_path(name)) is not None}
    files = sorted(file for folder in folders for file in folder.glob(f"*{ending}"))
    return {file.name.removesuffix(ending): file for file in files}
