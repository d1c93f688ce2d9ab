"""Measured throws: from a CSV of a bullpen session to a clean table, with a flag for all that is not used."""

from latebreak.service.throws.loading import (
    Columns,
    ThrowsFileError,
    clean_throws,
    map_content,
    parse_throws,
    read_throws,
    ready_column_maps,
    ready_throws,
    throws_content,
)
from latebreak.service.throws.outliers import flag_outliers
from latebreak.service.throws.table import Flag, Throws, Written

__all__ = [
    "Columns",
    "Flag",
    "Throws",
    "ThrowsFileError",
    "Written",
    "clean_throws",
    "flag_outliers",
    "map_content",
    "parse_throws",
    "read_throws",
    "ready_column_maps",
    "ready_throws",
    "throws_content",
]
