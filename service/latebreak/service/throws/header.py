"""The header row: which column holds what, and what is at fault with the columns as a whole."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from latebreak.engine.errors import Fault, InputError
from latebreak.service.throws.column_map import ColumnMap, Meaning
from latebreak.service.throws.measured import COLUMN_NAMES, MEASURED, OTHER_KEYS, PITCH, WORD_KEYS
from latebreak.service.wording import did_you_mean, shown

#: Most columns that one message names (chosen: fits a few lines of a terminal).
NAMED_COLUMNS = 10


@dataclass(frozen=True)
class Column:
    """A column that is used: its place in the row, its name and what it holds."""

    index: int
    header: str
    meaning: Meaning

    @property
    def where(self) -> str:
        """Name the column in a message."""
        return f"column {shown(self.header)}"


def used_columns(header: Sequence[str], column_map: ColumnMap, source: str) -> tuple[list[Column], list[str]]:
    """Find the columns that are used.

    Parameters
    ----------
    header : sequence of str
        Cells of the header row.
    column_map : ColumnMap
        What the map says.
    source : str
        What messages call the file.

    Returns
    -------
    columns : list of Column
        In the order of the file; one of them holds the pitch.
    warnings : list of str
        Columns that are ignored, and columns of the map that the file does not have.

    Raises
    ------
    InputError
        Two columns of one name or with one quantity, no pitch, nothing measured.
    """
    names = [cell.strip() for cell in header]
    columns = [
        Column(index, name, meaning)
        for index, name in enumerate(names)
        if name and (meaning := column_map.meaning(name)) is not None
    ]
    faults = [*_twice(names), *_same_quantity(columns), *_missing(names, columns)]
    if faults:
        raise InputError(faults, source)
    used = {column.index for column in columns}
    ignored = [name for index, name in enumerate(names) if name and index not in used]
    return columns, [*_ignored(ignored), *_absent(column_map, names)]


def _twice(names: list[str]) -> list[Fault]:
    places = defaultdict(list)
    for index, name in enumerate(names):
        places[name].append(str(index + 1))
    faults = []
    for name, where in places.items():
        if name and len(where) > 1:
            problem = f"the name stands {len(where)} times (columns {', '.join(where[:NAMED_COLUMNS])})"
            faults.append(Fault(f"column {shown(name)}", problem, "each name once", "rename or remove the others"))
    return faults


def _same_quantity(columns: list[Column]) -> list[Fault]:
    holders: defaultdict[str, list[str]] = defaultdict(list)
    for column in columns:
        if column.header not in holders[column.meaning.key]:
            holders[column.meaning.key].append(column.header)
    faults = []
    for key, headers in holders.items():
        if len(headers) > 1:
            problem = f"{' and '.join(map(shown, headers))} hold {key} both"
            remedy = "remove one, or leave it out of the map"
            faults.append(Fault(f"column {shown(headers[1])}", problem, "one column for each quantity", remedy))
    return faults


def _missing(names: list[str], columns: list[Column]) -> list[Fault]:
    faults = []
    have = ", ".join(shown(name) for name in names[:NAMED_COLUMNS] if name)
    if len(names) == 1:
        have += " alone: is the delimiter right?"
    have = f"the file has {have}{' ...' if len(names) > NAMED_COLUMNS else ''}" if have else "the header row is empty"
    keys = {column.meaning.key for column in columns}
    if PITCH not in keys:
        near = [name for name in names if did_you_mean(PITCH, [name.lower()])][:1] if len(names) < 1000 else []
        remedy = f"add a column {PITCH}, or map one: [columns] {shown(near[0] if near else 'NAME')} = {shown(PITCH)}"
        faults.append(Fault(f"column '{PITCH}'", f"missing: which pitch each throw is ({have})", "", remedy))
    if keys <= set(WORD_KEYS):
        problem = f"no column holds a measured quantity ({have})"
        remedy = "name the columns so, or map them by --columns MAP.toml"
        faults.append(Fault("header", problem, ", ".join([*MEASURED, *OTHER_KEYS]), remedy))
    return faults


def _ignored(names: list[str]) -> list[str]:
    if not names:
        return []
    words = []
    for name in names[:NAMED_COLUMNS]:
        near = did_you_mean(name, COLUMN_NAMES)
        words.append(shown(name) + (f" ({near})" if near else ""))
    more = f" and {len(names) - NAMED_COLUMNS} more" if len(names) > NAMED_COLUMNS else ""
    plural = "s" if len(names) > 1 else ""
    return [f"column{plural} {', '.join(words)}{more}: neither known nor in the column map, so not used"]


def _absent(column_map: ColumnMap, names: list[str]) -> list[str]:
    present = set(names)
    absent = [name for name in column_map.columns if name not in present][:NAMED_COLUMNS]
    warnings = []
    for name in absent:
        near = did_you_mean(name, [other for other in names[:1000] if other])
        warning = f"the column map names {shown(name)}, which the file does not have"
        warnings.append(warning + (f"; {near}" if near else ""))
    return warnings
