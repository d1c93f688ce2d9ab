"""Outliers of a record of swings: each pitcher's throws are held against his own."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from latebreak.service.scenario.section import Level
from latebreak.service.throws import Throws, flag_outliers


def without_outliers(throws: Throws, level: Level) -> Throws:
    """Take out what `flag_outliers` takes out, pitcher by pitcher."""
    who = np.array([name or "" for name in throws.words.get("pitcher", [""] * len(throws))])
    if np.unique(who).size < 2:
        return flag_outliers(throws, level)
    keep = np.zeros(len(throws), dtype=bool)
    values = {key: column.copy() for key, column in throws.values.items()}
    flags, warnings = list(throws.flags), list(throws.warnings)
    for name in np.unique(who):
        rows = np.flatnonzero(who == name)
        own = throws.select(who == name)
        left = flag_outliers(replace(own, flags=(), warnings=()), level)
        kept = rows[np.isin(own.line, left.line)]
        keep[kept] = True
        for key, column in values.items():
            column[kept] = left.values.get(key, np.nan)
        flags += left.flags
        warnings += left.warnings
    table = replace(throws, values=values, flags=tuple(flags), warnings=tuple(dict.fromkeys(warnings)))
    return table.select(keep)
