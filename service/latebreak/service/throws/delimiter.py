"""Which character stands between the columns."""

from __future__ import annotations

import csv
from collections.abc import Callable

DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}


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
