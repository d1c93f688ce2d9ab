"""Reading a scenario: from a file, a ready name, a text or a mapping, with every fault at once."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from latebreak.engine.errors import Fault, InputError, LatebreakError
from latebreak.service.scenario.cross_checks import cross_faults
from latebreak.service.scenario.faults import faults_of
from latebreak.service.scenario.hitters_file import inlined
from latebreak.service.scenario.keys import read_keys
from latebreak.service.scenario.level_defaults import with_defaults
from latebreak.service.scenario.model import Scenario
from latebreak.service.scenario.plausibility import warnings_of
from latebreak.service.scenario.ready import ready_names, ready_path
from latebreak.service.toml_text import TooDeepError, read_toml
from latebreak.service.wording import clean, did_you_mean, shown

#: Largest scenario file in bytes (chosen: a thousand pitches fit; more is some other kind of file).
MAX_BYTES = 1_000_000
#: Most faults that one message lists (chosen: more can't be read, and come from one cause).
MAX_FAULTS = 200


class ScenarioFileError(LatebreakError):
    """A scenario file can't be found, read or written."""


@dataclass(frozen=True)
class Loaded:
    """A scenario as read.

    Attributes
    ----------
    scenario : Scenario
        Complete, with its defaults.
    warnings : tuple of str
        What is possible but unusual.
    source : str
        Ready name, path or other name of the input, printable.
    tables : mapping, optional
        The tables as they were read, in the keys that were written; empty where there were none.
    """

    scenario: Scenario
    warnings: tuple[str, ...]
    source: str
    tables: Mapping[str, Any] = field(default_factory=dict, repr=False, compare=False)


#: What may be asked about: a scenario, one that was loaded, its tables, or the path or ready name of one.
Source = Scenario | Loaded | Mapping[str, Any] | str | Path


def opened(source: Source, *, elsewhere: bool = False) -> Loaded:
    """Return what is asked about as a loaded scenario.

    Parameters
    ----------
    source : Scenario, Loaded, mapping, str or Path
        A scenario, one that was loaded, its tables, or the path or ready name of one.
    elsewhere : bool
        As for `load`.

    Raises
    ------
    ScenarioFileError, HittersFileError, InputError
        As `load` and `from_mapping`.
    """
    if isinstance(source, str | Path):
        return load(source, elsewhere=elsewhere)
    if isinstance(source, Scenario):
        return Loaded(source, (), "scenario")
    return source if isinstance(source, Loaded) else from_mapping(source, elsewhere=elsewhere)


def load(source: str | Path, *, elsewhere: bool = False) -> Loaded:
    """Read a scenario from a file or by the name of a ready one.

    Parameters
    ----------
    source : str or Path
        Path of a file, or a name of `ready_names`; a file of that path comes first.
    elsewhere : bool
        Whether somebody else answers: what law or hitter model a name stands for is then left to him.

    Raises
    ------
    ScenarioFileError
        There is no such file or name, or the file can't be read.
    HittersFileError
        The file of taught hitters that it names can't be read.
    InputError
        Its content is at fault.
    """
    name = clean(str(source))
    path = Path(source)
    ready = ready_path(str(source)) if isinstance(source, str) else None
    if ready is not None and not path.is_file():
        path = ready
    try:
        with path.open("rb") as file:
            content = file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        own = [path.name + ".toml"] if path.with_name(path.name + ".toml").is_file() else []
        near = did_you_mean(path.name, [*own, *ready_names()])
        message = f"{shown(name)} is neither a file nor a ready scenario; ready scenarios: {', '.join(ready_names())}"
        message += f"; {near}" if near else ""
        raise ScenarioFileError(message) from None
    except (OSError, ValueError) as error:  # ValueError: a path with a zero byte
        reason = getattr(error, "strerror", None) or str(error)
        raise ScenarioFileError(f"{shown(name)} can't be read: {clean(reason)}") from error
    return parse(decoded(content, name), name, elsewhere=elsewhere, folder=path.parent)


def parse(text: str, source: str = "scenario", *, elsewhere: bool = False, folder: Path | None = None) -> Loaded:
    """Read a scenario from TOML text.

    Parameters
    ----------
    text : str
        Content of a scenario file.
    source : str
        What messages call the input.
    elsewhere : bool
        As for `load`.
    folder : Path, optional
        Where files that the scenario names are; None = it may name none.

    Raises
    ------
    HittersFileError
        A file that the scenario names can't be read.
    InputError
        The text is empty, too long, not TOML, or at fault as a scenario.
    """
    source = clean(source)
    if len(text) > MAX_BYTES:
        raise _too_large(source)
    if not text.strip():
        fault = Fault("", "the scenario is empty", "TOML text", "`latebreak new NAME` writes a starter")
        raise InputError([fault], source)
    mapping = tables_of(text, source)
    return from_mapping(mapping if folder is None else inlined(mapping, folder), source, elsewhere=elsewhere)


def from_mapping(mapping: Mapping[str, Any], source: str = "scenario", *, elsewhere: bool = False) -> Loaded:
    """Read a scenario from nested tables in the keys of the file.

    Parameters
    ----------
    mapping : mapping
        Tables as TOML or JSON give them.
    source : str
        What messages call the input.
    elsewhere : bool
        As for `load`.

    Raises
    ------
    InputError
        With every fault that was found.
    """
    source = clean(source)
    if not isinstance(mapping, Mapping):
        raise InputError([Fault("", f"{shown(mapping)} is not a table of keys", "a table")], source)
    document = read_keys(Scenario, mapping)
    faults = [*document.faults, *cross_faults(document, plug_ins=not elsewhere)]
    try:
        scenario = Scenario.model_validate(with_defaults(document.content))
    except ValidationError as error:
        faults += faults_of(error, Scenario, document, {fault.where for fault in faults})
    if faults:
        more = len(faults) - MAX_FAULTS
        rest = [Fault("", f"and {more} faults more", "", "mend these first")] if more > 0 else []
        raise InputError([*faults[:MAX_FAULTS], *rest], source)
    return Loaded(scenario, tuple(warnings_of(scenario, document)), source, mapping)


def tables_of(text: str, source: str) -> dict[str, Any]:
    """Return the tables of a TOML text.

    Raises
    ------
    InputError
        It is no TOML, or nested too deep.
    """
    try:
        return read_toml(text)
    except TooDeepError as error:
        raise InputError([error.fault], source) from None
    except ValueError as error:  # TOMLDecodeError is one; so is a whole number of too many digits
        raise InputError([_syntax_fault(error, text)], source) from None


def decoded(content: bytes, source: str) -> str:
    """Return the text of a file.

    Raises
    ------
    InputError
        It is too large, or not UTF-8.
    """
    if len(content) > MAX_BYTES:
        raise _too_large(source)
    try:
        return content.decode("utf-8-sig")  # editors on Windows put a byte-order mark first
    except UnicodeDecodeError as error:
        problem = f"byte {error.start + 1} ({content[error.start]:#04x}) is not UTF-8"
        raise InputError([Fault("", problem, "UTF-8 text", "save the file as UTF-8")], source) from None


def _too_large(source: str) -> InputError:
    size = f"{MAX_BYTES / 1e6:.0f} MB"
    return InputError([Fault("", f"it is larger than {size}", f"at most {size}", "is this a scenario?")], source)


def _syntax_fault(error: ValueError, text: str) -> Fault:
    found = re.search(r"at line (\d+)", str(error))
    lines = text.split("\n")
    line = lines[int(found[1]) - 1].strip() if found and int(found[1]) <= len(lines) else ""
    problem = f"not TOML: {clean(str(error))[:200]}" + (f"; the line is {shown(line)}" if line else "")
    return Fault("", problem, "KEY = VALUE below [TABLE]", 'text and clock times need quotes: break_clock = "12:45"')
