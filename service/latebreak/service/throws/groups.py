"""Throws that are held against each other: a pitch within a session that has enough of them, else the pitch."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.service.throws.robust_location import RobustLocation, robust_location
from latebreak.service.throws.table import Throws

#: A session is held against itself from this many throws on, else the pitch as a whole (chosen: with fewer the cut is
#: so wide that hardly a slip stands out).
SESSION_THROWS = 8

Columns = Mapping[str, NDArray[np.float64]]


@dataclass(frozen=True, eq=False)
class Group:
    """Some throws of a pitch, and where the pitch lies.

    Attributes
    ----------
    pitch : str
        Its name.
    rows : int64 array
        Rows of the table that are judged by this group.
    locations : dict of str to RobustLocation
        By key; only quantities of which enough throws were measured.
    """

    pitch: str
    rows: NDArray[np.int64]
    locations: dict[str, RobustLocation]


def whole_pitches(throws: Throws, columns: Columns, usual: Mapping[str, float]) -> dict[str, Group]:
    """Return each pitch over all sessions, by name.

    Parameters
    ----------
    throws : Throws
        Names of the rows.
    columns : mapping of str to float64 array, shape (n,)
        What the locations are made of; NaN = not measured, or not to be used.
    usual : mapping of str to float
        Usual standard deviation of each quantity.
    """
    return {name: _group(name, rows, rows, columns, usual) for name, rows in _by_name(throws.pitch).items()}


def groups(throws: Throws, columns: Columns, usual: Mapping[str, float]) -> Iterator[Group]:
    """Yield groups that together judge every row once; arguments as of `whole_pitches`."""
    session = np.array([name or "" for name in throws.session], dtype=object)
    for pitch, rows in _by_name(throws.pitch).items():
        rest = []
        for name, places in _by_name(session[rows].tolist()).items():
            if name and len(places) >= SESSION_THROWS:
                yield _group(pitch, rows[places], rows[places], columns, usual)
            else:
                rest.append(rows[places])
        if rest:
            yield _group(pitch, np.concatenate(rest), rows, columns, usual)


def _group(
    pitch: str, judged: NDArray[np.int64], rows: NDArray[np.int64], columns: Columns, usual: Mapping[str, float]
) -> Group:
    found = {key: robust_location(key, column[rows], usual[key]) for key, column in columns.items()}
    return Group(pitch, judged, {key: one for key, one in found.items() if one is not None})


def _by_name(names: tuple[str, ...] | list[str]) -> dict[str, NDArray[np.int64]]:
    codes = {name: code for code, name in enumerate(dict.fromkeys(names))}
    code = np.array([codes[name] for name in names], dtype=np.int64)
    order = np.argsort(code, kind="stable")
    parts = np.split(order, np.searchsorted(code[order], np.arange(1, len(codes))))
    return dict(zip(codes, parts, strict=True))
