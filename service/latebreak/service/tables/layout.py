"""How tables and text take their place on a page of any width: no number is parted from its unit, no cell is broken."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from rich import box
from rich.cells import cell_len
from rich.console import Console
from rich.table import Table
from rich.text import Text

from latebreak.service.quantities import Said
from latebreak.service.wording import clean

#: A row: what it tells, and a cell for each head; a row without cells is a heading between rows.
Row = tuple[str, Sequence[Said]]

#: The blank between a number and its unit, those of a range, and that of a chance.
_BOUND = re.compile(r"(?<=\d) (?=[a-z%*])|(?<=\bto) (?=-?\.?\d)|(?<=%) (?=to )|(?<=%:) (?=-?\d)|(?<=\bchance) ")
#: What stands for it while lines are made; no text that is printed holds it, since it is not printable.
_JOINT = "\ue000"
#: Characters of the first column below which a table is stacked instead (chosen: two words of a name).
_NARROWEST = 18
#: Characters of a line of text beyond which the eye does not find the next one.
_LONGEST = 120
#: Blanks between two columns.
_GAP = 2


def lines_of(text: Text, width: int, out: Console) -> list[Text]:
    """Break a text into lines, between words only, and never between a number and its unit."""
    joined = text.copy()
    joined.plain = _BOUND.sub(_JOINT, text.plain)
    lines = list(joined.wrap(out, max(width, 1)))
    for line in lines:
        line.plain = line.plain.replace(_JOINT, " ").rstrip()
    return lines


def prose(out: Console, text: str, style: str = "", indent: int = 0) -> None:
    """Print a paragraph."""
    for line in lines_of(Text(text, style=style), min(out.width, _LONGEST) - indent, out):
        out.print(Text(" " * indent).append(line))


def items(out: Console, pairs: Iterable[tuple[str, Text]], indent: int = 0) -> None:
    """Print a list: names in a column, beside each its text; below it where the names leave too little room."""
    _lists(out, [("", [(clean(name), text) for name, text in pairs])], indent)


def _lists(out: Console, lists: Sequence[tuple[str, Sequence[tuple[str, Text]]]], indent: int) -> None:
    """Print lists in one layout, each below what it is of."""
    every = [pair for _, pairs in lists for pair in pairs]
    column = max((cell_len(name) for name, _ in every), default=0) + 2
    room = out.width - indent - column
    beside = room >= min(max((cell_len(text.plain) for _, text in every), default=0), out.width // 2)
    for label, pairs in lists:
        if label:
            prose(out, label, style="" if pairs else "bold")
        for name, text in pairs:
            _item(out, name, text, indent, column if beside else 0)


def _item(out: Console, name: str, text: Text, indent: int, column: int) -> None:
    """Print a name, and its text in a column beside it; below it where there is no column."""
    before = indent + (column or 2)
    lines = lines_of(text, out.width - before, out)
    if column:
        first, *lines = lines or [Text()]
        out.print(Text(" " * indent + name + " " * (column - cell_len(name))).append(first))
    else:
        prose(out, name, indent=indent)
    for line in lines:
        out.print(Text(" " * before).append(line))


def show_table(out: Console, heads: Sequence[str], rows: Sequence[Row]) -> None:
    """Print a table so that every cell stays whole.

    Intervals stand beside their values where all columns fit so, else below them, and else rows are stacked: a block
    for each row, a line for each head.
    """
    for between in (" ", "\n"):
        table = _side_by_side(out, [clean(head) for head in heads], rows, between)
        if table is not None:
            out.print(table)
            return
    stacked = [
        (_label(label, cells), [(clean(head), _unbroken(said)) for head, said in zip(heads, cells, strict=False)])
        for label, cells in rows
    ]
    _lists(out, stacked, indent=2)


def _side_by_side(out: Console, heads: Sequence[str], rows: Sequence[Row], between: str) -> Table | None:
    """Return the table; None where it is wider than the page."""
    labels = [_label(label, cells) for label, cells in rows]
    drawn = [[_cell(said, between) for said in cells] for _, cells in rows]
    widths = [
        max([_widest([head]), *(cell_len(line) for cells in drawn if cells for line in cells[n].plain.split("\n"))])
        for n, head in enumerate(heads)
    ]
    widths = [max(width, min(cell_len(head), _NARROWEST)) for width, head in zip(widths, heads, strict=True)]
    room = out.width - sum(width + _GAP for width in widths)
    longest = max(map(cell_len, labels), default=0)
    if room < max(min(_NARROWEST, longest), _widest(labels)):
        return None
    table = Table(
        box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, _GAP - 1, 0, 0), header_style="bold"
    )
    table.add_column("", width=min(room, longest))
    for head, width in zip(heads, widths, strict=True):
        table.add_column(Text("\n").join(lines_of(Text(head), width, out)), justify="right", width=width, no_wrap=True)
    for label, (_, cells), texts in zip(labels, rows, drawn, strict=True):
        table.add_row(Text(label, style="" if cells else "bold"), *texts)
    return table


def _widest(texts: Iterable[str]) -> int:
    """Cells of the longest word."""
    return max((cell_len(word) for text in texts for word in text.split()), default=0)


def _label(label: str, cells: Sequence[Said]) -> str:
    """Name a row; from where a distance is told is said once for all its cells."""
    return ", ".join(dict.fromkeys([clean(label), *_places(cells)]))


def _places(cells: Sequence[Said]) -> Iterator[str]:
    return (said.where for said in cells if said.where)


def _unbroken(said: Said) -> Text:
    """Give a cell that is broken between the value and its interval at most."""
    return _cell(Said(said.value.replace(" ", _JOINT), said.interval.replace(" ", _JOINT)), " ")


def _cell(said: Said, between: str) -> Text:
    text = Text(said.value)
    return text.append(f"{between}({said.interval})", style="dim") if said.interval else text
