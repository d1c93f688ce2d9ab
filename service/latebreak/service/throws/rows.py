"""The rows of a file, one at a time: which are throws, and which can't be one."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from itertools import chain
from typing import NamedTuple

from latebreak.engine.errors import Fault, InputError
from latebreak.service.throws.column_map import ColumnMap
from latebreak.service.throws.delimiter import DELIMITERS, find_delimiter
from latebreak.service.throws.text_check import check_text, not_utf_8

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


class Rows:
    """The rows of a CSV file; blank lines are no rows.

    Parameters
    ----------
    content : bytes
        The file.
    column_map : ColumnMap
        Names of columns, and the delimiter where it says it.
    source : str
        What messages call the file.

    Attributes
    ----------
    header : list of str
        Cells of the first row.
    delimiter : str
        Character between the columns.

    Raises
    ------
    InputError
        The file is no text, or has no header.
    """

    def __init__(self, content: bytes, column_map: ColumnMap, source: str) -> None:
        check_text(content, source)
        self._content, self._source = content, source
        self._text = io.TextIOWrapper(io.BytesIO(content), encoding="utf-8-sig", newline="")
        self._line, self._lines_before = 1, 0
        try:
            first = self._next_line()
            told = TOLD_DELIMITER.fullmatch(first)
            if told:
                self._lines_before += 1
                first = self._next_line()
            self.delimiter = (
                column_map.delimiter
                or (told[1] if told and told[1] in DELIMITERS else "")
                or find_delimiter(first, lambda name: column_map.meaning(name) is not None)
            )
            self._reader = csv.reader(
                chain([first], self._text), delimiter=self.delimiter, skipinitialspace=True, strict=True
            )
            self.header = next(self._reader)
        except (UnicodeDecodeError, csv.Error) as error:
            raise self._unreadable(error) from None

    def __iter__(self) -> Iterator[Row]:
        """Yield the rows below the header.

        Raises
        ------
        InputError
            A quote is not closed, a cell is too long, a byte is not UTF-8, or there are too many rows.
        """
        try:
            yield from self._below_header()
        except (UnicodeDecodeError, csv.Error) as error:
            raise self._unreadable(error) from None

    def _below_header(self) -> Iterator[Row]:
        header, width, reader, before = self.header, len(self.header), self._reader, self._lines_before
        self._line = before + reader.line_num + 1
        for count, cells in enumerate(reader, 1):
            trouble = ""
            if len(cells) != width or not cells[0] or cells == header:
                if not any(map(str.strip, cells)):
                    self._line = before + reader.line_num + 1
                    continue
                trouble = self._trouble(cells)
            if count > MAX_ROWS:
                problem, allowed = f"it has more than {MAX_ROWS:,} rows", f"at most {MAX_ROWS:,} throws"
                raise InputError([Fault("", problem, allowed, "split the file")], self._source)
            yield Row(self._line, cells[:width] if len(cells) > width else cells, trouble)
            self._line = before + reader.line_num + 1

    def _trouble(self, cells: list[str]) -> str:
        """Tell why cells can't be a throw; empty where they can."""
        width = len(self.header)
        if cells == self.header:
            return "repeats the header"
        # Empty cells beyond the last column are a spreadsheet's way to end a row.
        if len(cells) == width or (len(cells) > width and not any(map(str.strip, cells[width:]))):
            return ""
        last = self._lines_before + self._reader.line_num
        runs_on = f" (a quoted cell runs on to line {last})" if last > self._line else ""
        comma = " (is there a comma in a number?)" if len(cells) > width and self.delimiter == "," else ""
        return f"has {len(cells)} cells where the header has {width}{runs_on or comma}"

    def _unreadable(self, error: UnicodeDecodeError | csv.Error) -> InputError:
        if isinstance(error, UnicodeDecodeError):
            return not_utf_8(self._content, self._source)
        return InputError([_csv_fault(str(error), self._line)], self._source)

    def _next_line(self) -> str:
        """Return the next line that is not blank; empty at the end of the file."""
        for line in iter(lambda: self._text.readline(HEADER_CHARACTERS), ""):
            if len(line) == HEADER_CHARACTERS:
                problem, allowed = "the header is too long", f"at most {HEADER_CHARACTERS:,} characters"
                raise InputError([Fault("header", problem, allowed, "is this a CSV file?")], self._source)
            if line.strip():
                return line
            self._lines_before += 1
        return ""


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
