"""Ready scenarios: where they lie and what they are called."""

from __future__ import annotations

from pathlib import Path


def ready_names() -> tuple[str, ...]:
    """Return the names of the ready scenarios, sorted."""
    return tuple(sorted(_ready()))


def ready_path(name: str) -> Path | None:
    """Return the file of a ready scenario, or None where the name is not one."""
    return _ready().get(name)


def _ready() -> dict[str, Path]:
    # A dot in the stem marks another kind of file beside the scenarios, such as a column map.
    return {path.stem: path for path in _folder().glob("*.toml") if "." not in path.stem}


def _folder() -> Path:
    """Return the folder inside the installed package, else the one at the top of the source tree."""
    here = Path(__file__).resolve()
    packaged = here.parents[1] / "scenarios"
    return packaged if packaged.is_dir() else here.parents[4] / "scenarios"
