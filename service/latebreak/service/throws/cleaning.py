"""Measured throws as a fit uses them: read, with slips and strays left out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from latebreak.service.scenario.model import Pitcher
from latebreak.service.throws.loading import read_throws
from latebreak.service.throws.outliers import flag_outliers
from latebreak.service.throws.table import Throws

#: A column map: its path, its ready name, or its tables.
Columns = str | Path | Mapping[str, Any]


def clean_throws(sources: Sequence[str | Path | Throws], columns: Columns | None, pitcher: Pitcher) -> list[Throws]:
    """Read throws and flag what is not used.

    Parameters
    ----------
    sources : sequence of str, Path or Throws
        CSV files, names of ready ones, or tables as read.
    columns : str, Path or mapping, optional
        Column map of the files.
    pitcher : Pitcher
        Who threw.

    Raises
    ------
    InputError, ThrowsFileError
        As `read_throws`.
    """
    read = (one if isinstance(one, Throws) else read_throws(one, columns, hand=pitcher.hand) for one in sources)
    return [flag_outliers(one, level=pitcher.level) for one in read]
