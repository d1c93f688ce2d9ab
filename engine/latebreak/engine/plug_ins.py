"""Entry points of other packages: loaded once, each fault one message, none stops the rest."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from importlib.metadata import EntryPoint
from typing import TypeVar

from latebreak.engine.errors import Fault, InputError, LatebreakError

T = TypeVar("T")

OURS = "latebreak"


class UnusableError(Exception):
    """Why a plug-in can't be used."""


class PlugInError(LatebreakError):
    """A plug-in failed at work, though it could be used when it was loaded."""


def distribution(entry: EntryPoint) -> str:
    """Name of the distribution that registers an entry point; ours where it is made up here."""
    return entry.dist.name if entry.dist else OURS


def load_all(
    what: str, installed: Iterable[EntryPoint], own: Iterable[EntryPoint], make: Callable[[EntryPoint, object], T]
) -> tuple[dict[str, T], dict[str, str]]:
    """Load every plug-in of a group.

    Parameters
    ----------
    what : str
        What they are, for messages: "force law".
    installed : iterable of EntryPoint
        Those of the installed distributions.
    own : iterable of EntryPoint
        Ours, for where latebreak runs without being installed.
    make : callable
        From an entry point and what it loads to the plug-in; raises `UnusableError` with the reason.

    Returns
    -------
    usable : dict of str to plug-in
        By name, sorted.
    faulty : dict of str to str
        Messages by name. A name that is also usable was wanted by another distribution too, which was refused.
    """
    entries = list(installed)
    if not any(distribution(entry) == OURS for entry in entries):
        entries.extend(own)
    by_name: dict[str, list[EntryPoint]] = {}
    for entry in entries:
        by_name.setdefault(entry.name, []).append(entry)
    usable: dict[str, T] = {}
    faulty: dict[str, str] = {}
    for name, rivals in sorted(by_name.items()):
        chosen = rivals
        if len(rivals) > 1:
            owners = " and ".join(sorted(f"{distribution(entry)!r}" for entry in rivals))
            chosen = [entry for entry in rivals if distribution(entry) == OURS]
            outcome = f"that of {OURS!r} is used" if chosen else "none of them is used"
            faulty[name] = f"{what} {name!r} is registered by {owners}; {outcome}"
        for entry in chosen:
            try:
                usable[name] = make(entry, _loaded(entry))
            except UnusableError as reason:
                faulty[name] = f"{what} {name!r} of distribution {distribution(entry)!r} can't be used: {reason}"
    return usable, faulty


def find(what: str, name: str, usable: dict[str, T], faulty: dict[str, str]) -> T:
    """Return the plug-in of a name, of what `load_all` gave.

    Raises
    ------
    InputError
        None of this name is registered, or the one that is can't be used.
    """
    if name in usable:
        return usable[name]
    choices = "one of " + ", ".join(usable)
    if name in faulty:
        remedy = f"mend or uninstall that package, or take another {what.rsplit(maxsplit=1)[-1]}"
        raise InputError([Fault("", faulty[name], choices, remedy)])
    raise InputError([Fault("", f"no {what} {name!r} is registered", choices)])


def said(error: BaseException) -> str:
    """One line about an error."""
    return " ".join(f"{type(error).__name__}: {error}".split())


def _loaded(entry: EntryPoint) -> object:
    try:
        return entry.load()
    except (Exception, SystemExit) as error:  # the code of a stranger: whatever it raises is its own fault
        raise UnusableError(f"loading {entry.value!r} failed with {said(error)}") from error
