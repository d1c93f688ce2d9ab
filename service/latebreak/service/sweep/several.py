"""Several scenarios of one sweep: files, ready names and folders of them, each in order or with what is at fault."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from latebreak.engine.errors import Fault, InputError, LatebreakError
from latebreak.service.scenario import Loaded, ScenarioFileError, load
from latebreak.service.scenario.loading import MAX_BYTES
from latebreak.service.toml_text import read_toml
from latebreak.service.wording import clean

#: Most files of one sweep (chosen: a league's pitchers; all of them are held at once).
MOST = 2000


def load_several(sources: Sequence[str]) -> tuple[dict[str, Loaded], dict[str, str]]:
    """Read scenarios.

    Parameters
    ----------
    sources : sequence of str
        Paths and ready names of scenarios, and folders with files of scenarios.

    Returns
    -------
    loaded : dict of str to Loaded
        Those that are in order, by path or ready name.
    at_fault : dict of str to str
        What is at fault with the others.

    Raises
    ------
    ScenarioFileError
        A folder has no scenario or can't be read, or there are too many.
    InputError
        None is in order: with all that is at fault.
    """
    names = list(dict.fromkeys(name for source in sources for name in _files(source)))
    if len(names) > MOST:
        raise ScenarioFileError(f"these are {len(names):,} scenarios; at most {MOST:,} can be swept at once")
    loaded: dict[str, Loaded] = {}
    errors: dict[str, list[Fault]] = {}
    for name in names:
        try:
            loaded[clean(name)] = load(name)
        except InputError as error:
            errors[clean(name)] = list(error.faults)
        except LatebreakError as error:
            errors[clean(name)] = [Fault("", str(error))]
    if not loaded:
        raise InputError([Fault("", f"{name}: {fault}") for name, faults in errors.items() for fault in faults])
    return loaded, {name: " | ".join(map(str, faults)) for name, faults in errors.items()}


def _files(source: str) -> Iterator[str]:
    """Yield a file or ready name as it is; of a folder every file of TOML that is not plainly something else."""
    folder = Path(source)
    if not folder.is_dir():
        yield source
        return
    try:
        files = sorted(path for path in folder.glob("*.toml") if path.is_file() and not path.name.startswith("."))
    except OSError as error:
        raise ScenarioFileError(f"{clean(source)} can't be read: {clean(error.strerror or str(error))}") from error
    found = [str(path) for path in files if not _is_another_kind(path)]
    if not found:
        raise ScenarioFileError(f"the folder {clean(source)} has no scenario: no file *.toml with [pitcher] or [pitch]")
    yield from found


def _is_another_kind(path: Path) -> bool:
    """Whether a file is sound TOML, and that without a pitcher and pitches: a column map, or taught hitters."""
    try:
        if path.stat().st_size > MAX_BYTES:
            return False
        tables = read_toml(path.read_text(encoding="utf-8-sig"))
        return bool(tables) and not {"pitcher", "pitch"} & set(tables)
    except (OSError, ValueError, LatebreakError):
        return False
