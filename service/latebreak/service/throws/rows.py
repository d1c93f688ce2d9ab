"""The rows of a file, one at a time: which are throws, and which can't be one."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING, NamedTuple

from latebreak.engine.errors import Fault, InputError
from latebreak.service.throws.column_map import ColumnMap
from latebreak.service.throws.text_check import text_of

if TYPE_CHECKING:
    from _csv import Reader

#: Characters that may stand between the columns, and how they are called.
DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
#: Most rows of a file (chosen: a league's season; at some twenty columns the table then takes 0.3 GB).
MAX_ROWS = 2_000_000
#: Longest header, in characters (chosen: thousands of columns fit).
HEADER_CHARACTERS = 1_000_000
#: A first line by which spreadsheets tell each other the delimiter (common practice, no source).
TOLD_DELIMITER = re.compile(r'"?sep=(.)"?\s*')


class Row(NamedTuple):
    """A row of the file.

    Attributes
    ----------
    line : int
        Line on which it begins; the first of the file is 1.
    cells : list of str
        As many as the header has, unless the row is ragged.
    trouble : str
        Why the row can't be a throw; empty where it can.
    """

    line: int
    cells: list[str]
    trouble: str = ""


@dataclass(frozen=True)
class Rows:
    """The rows of a CSV file; blank lines are no rows.

    Attributes
    ----------
    header : list of str
        Cells of the first row.
    delimiter : str
        Character between the columns.
    below : iterator of Row
        The rows below the header, read as they are asked for; raises InputError where a quote is not closed, a cell is
        too long, or there are too many rows.
    """

    header: list[str]
    delimiter: str
    below: Iterator[Row]


def read_rows(content: bytes, column_map: ColumnMap, source: str) -> Rows:
    """Read the rows of a CSV file.

    Parameters
    ----------
    content : bytes
        The file.
    column_map : ColumnMap
        Names of columns, and the delimiter where it says it.
    source : str
        What messages call the file.

    Raises
    ------
    InputError
        The file is no text, or has no header.
    """
    text_of(content, source)  # read from the bytes below: a text stream would hold four of them a character
    text = io.TextIOWrapper(io.BytesIO(content), encoding="utf-8-sig", newline="")
    first, before = _next_line(text, source)
    told = TOLD_DELIMITER.fullmatch(first)
    if told:
        first, blank = _next_line(text, source)
        before += 1 + blank
    delimiter = (
        column_map.delimiter
        or (told[1] if told and told[1] in DELIMITERS else "")
        or find_delimiter(first, lambda name: column_map.meaning(name) is not None)
    )
    reader = csv.reader(chain([first], text), delimiter=delimiter, skipinitialspace=True, strict=True)
    try:
        header = next(reader)
    except csv.Error as error:
        raise InputError([_csv_fault(str(error), before + 1)], source) from None
    return Rows(header, delimiter, _below(header, reader, before, source))


def find_delimiter(line: str, is_known: Callable[[str], bool]) -> str:
    """Choose the delimiter by the header: the one that makes most names known, then the one that makes most columns.

    The header tells more than the numbers below it, in which a comma may be a delimiter or a decimal comma.

    Parameters
    ----------
    line : str
        The header row.
    is_known : callable
        Whether a name of a column is known.
    """

    def merit(delimiter: str) -> tuple[int, int]:
        # Not strict: a header with a stray quote gets its message when the file is read.
        names = next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])
        return sum(map(is_known, names)), len(names)

    return max(DELIMITERS, key=merit)  # the first of equals


def _next_line(text: io.TextIOWrapper, source: str) -> tuple[str, int]:
    """Return the next line that is not blank, empty at the end of the file, and how many blank ones come before it."""
    blank = 0
    for line in iter(lambda: text.readline(HEADER_CHARACTERS), ""):
        if len(line) == HEADER_CHARACTERS:
            problem, allowed = "the header is too long", f"at most {HEADER_CHARACTERS:,} characters"
            raise InputError([Fault("header", problem, allowed, "is this a CSV file?")], source)
        if line.strip():
            return line, blank
        blank += 1
    return "", blank


def _below(header: list[str], reader: Reader, before: int, source: str) -> Iterator[Row]:
    """Yield the rows below the header, which `before` lines come before."""
    width, line = len(header), before + reader.line_num + 1
    try:
        for count, cells in enumerate(reader, 1):
            last = before + reader.line_num
            trouble, is_blank = "", False
            if len(cells) != width or not cells[0] or cells == header:
                is_blank = not any(map(str.strip, cells))
                trouble = _trouble(cells, header, reader.dialect.delimiter, last if last > line else 0)
            if not is_blank:
                if count > MAX_ROWS:
                    problem, allowed = f"it has more than {MAX_ROWS:,} rows", f"at most {MAX_ROWS:,} throws"
                    raise InputError([Fault("", problem, allowed, "split the file")], source)
                yield Row(line, cells[:width], trouble)
            line = last + 1
    except csv.Error as error:
        raise InputError([_csv_fault(str(error), line)], source) from None


def _trouble(cells: list[str], header: list[str], delimiter: str, runs_on_to: int) -> str:
    """Tell why cells can't be a throw; empty where they can."""
    width = len(header)
    if cells == header:
        return "repeats the header"
    # Empty cells beyond the last column are a spreadsheet's way to end a row.
    if len(cells) == width or (len(cells) > width and not any(map(str.strip, cells[width:]))):
        return ""
    why = " (is there a comma in a number?)" if len(cells) > width and delimiter == "," else ""
    why = f" (a quoted cell runs on to line {runs_on_to})" if runs_on_to else why
    return f"has {len(cells)} cells where the header has {width}{why}"


def _csv_fault(message: str, line: int) -> Fault:
    where = f"line {line}"
    if "unexpected end of data" in message:
        return Fault(where, "a quote that begins in this row is never closed", "", 'close it, or remove the stray "')
    if "field larger" in message:
        limit = csv.field_size_limit()
        remedy = 'is a quote not closed? remove the stray ", or the long text'
        return Fault(where, "a cell in this row is too long", f"at most {limit:,} characters", remedy)
    if "expected after" in message:
        remedy = 'write the whole cell in quotes, with "" for a quote inside, or remove the stray "'
        return Fault(where, "text follows a closing quote in this row", "", remedy)
    return Fault(where, f"this row can't be read ({message})", "", "check its quotes")
