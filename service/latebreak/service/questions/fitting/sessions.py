"""Which throws of a pitch belong together: those of one session, or of one file where there are two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import PurePath

import numpy as np
from numpy.typing import NDArray

from latebreak.service.throws import Throws
from latebreak.service.wording import shown


@dataclass(frozen=True, eq=False)
class Session:
    """Throws of one pitch in one session.

    Attributes
    ----------
    name : str
        As the file has it; "" where nothing tells sessions apart.
    throws : Throws
        All throws of the file.
    rows : bool array, shape (n,)
        Which of them.
    """

    name: str
    throws: Throws
    rows: NDArray[np.bool_]

    @property
    def count(self) -> int:
        """Number of throws."""
        return int(self.rows.sum())


def sessions_of(files: Sequence[Throws]) -> tuple[dict[str, list[Session]], list[str]]:
    """Sort throws by pitch and session.

    Parameters
    ----------
    files : sequence of Throws
        One file, or those of several sessions, earliest first.

    Returns
    -------
    sessions : dict of str to list of Session
        By pitch, earliest first; only sessions in which the pitch was thrown, so never an empty one.
    warnings : list of str
        What is not told apart.
    """
    pitches = dict.fromkeys(name for throws in files for name in throws.pitch)
    found: dict[str, list[Session]] = {name: [] for name in pitches}
    warnings = []
    for throws, file_name in zip(files, _file_names(files), strict=True):
        labels = list(dict.fromkeys(throws.session))
        if len(files) > 1:
            if len(labels) > 1:
                warnings.append(
                    f"{shown(throws.source)}: its {len(labels)} sessions are taken together, because several "
                    "files are compared"
                )
            labels = []
        of_pitch = np.array(throws.pitch, dtype=object)
        of_session = np.array(throws.session, dtype=object)
        for name in pitches:
            rows = of_pitch == name
            parts = [(label or "", rows & (of_session == label)) for label in labels] or [(file_name, rows)]
            found[name] += [Session(label, throws, part) for label, part in parts if part.any()]
    for name, sessions in found.items():
        if len(sessions) > 2:
            between = ", ".join(shown(one.name) for one in sessions[1:-1])
            warnings.append(
                f"{shown(name)}: the change is from {shown(sessions[0].name)} to {shown(sessions[-1].name)}, first and "
                f"last; those between have no part in it ({between})"
            )
    return found, warnings


def _file_names(files: Sequence[Throws]) -> list[str]:
    names = [PurePath(throws.source).stem for throws in files]
    if len(set(names)) == len(names):
        return names
    return ["earlier", "later"] if len(names) == 2 else [f"{name} ({at})" for at, name in enumerate(names, 1)]


def session_names(files: Sequence[Throws]) -> list[str]:
    """Return the names of all sessions, earliest first; those in which nothing can be used are there too."""
    if len(files) > 1:
        return _file_names(files)
    return list(dict.fromkeys(label or "" for label in files[0].session))
