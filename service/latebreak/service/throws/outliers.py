"""Flagging by statistics: impossible values, unit mistakes, slips and wrong pitch names.

Within a pitch, and within a session of it that has enough throws, each throw is held against the median. A value beyond
the cut of `throws.robust_location` is a unit mistake where another unit brings it back. A throw is a slip if
it is beyond the cut in speed, spin, axis or movement, or nearly so in two of them; it has the wrong name where it lies
in the middle of another pitch.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from latebreak.service.scenario.section import Level
from latebreak.service.throws.groups import groups, whole_pitches
from latebreak.service.throws.measured import usual_spread
from latebreak.service.throws.other_unit import column_in_other_unit
from latebreak.service.throws.single_values import faulty_values, is_impossible
from latebreak.service.throws.stray_throws import misnamed_throws, slips
from latebreak.service.throws.table import Flag, Throws, without_empty_rows


def flag_outliers(throws: Throws, level: Level = "professional") -> Throws:
    """Take out impossible values, unit mistakes, slips and wrong pitch names; each gets a flag.

    A clean sample of five throws or more, normal and up to 1.5 times as wide as usual for the level, loses a throw in
    fewer than 1 of 200 cases. With fewer throws of a pitch only impossible values are taken out. A column that seems to
    be in another unit as a whole gets a warning, and is not used where the unit that it claims makes a quarter of it
    impossible. Nothing is converted.

    Parameters
    ----------
    throws : Throws
        As read.
    level : str
        Level of the pitcher; its usual spread helps where few throws tell how much the pitch scatters.

    Returns
    -------
    Throws
        A new table; `throws` is not changed. It may be empty.
    """
    columns, warnings = {}, list(throws.warnings)
    for key, values in throws.values.items():
        found = column_in_other_unit(key, values, throws.written)
        if found is not None:
            warnings.append(found[0])
        if found is None or not found[1]:
            columns[key] = values.copy()
    usual = usual_spread(level)
    flags = list(throws.flags)

    possible = {key: np.where(is_impossible(key, values), np.nan, values) for key, values in columns.items()}
    pitches = whole_pitches(throws, possible, usual)
    is_used = np.ones(len(throws), dtype=np.bool_)

    def leave_out(row: int, reason: str) -> None:
        flags.append(Flag(int(throws.line[row]), throws.pitch[row], "", reason, left_out=True))
        is_used[row] = False

    # First the wrong names: the speed of a curve among fastballs could pass for another unit.
    judged = list(groups(throws, possible, usual))
    for group in judged:
        for row, reason in misnamed_throws(group, pitches, possible, throws.written):
            leave_out(row, reason)
    for group in judged:
        for row, key, reason in list(faulty_values(group, columns, throws.written)):
            if is_used[row]:
                flags.append(Flag(int(throws.line[row]), group.pitch, key, reason, left_out=False))
                columns[key][row] = np.nan
    # Single wrong values are out by now, so that they make no slip of a good throw.
    for group in groups(throws, {key: np.where(is_used, values, np.nan) for key, values in columns.items()}, usual):
        for row, reason in slips(group, columns, throws.written):
            if is_used[row]:
                leave_out(row, reason)
    table = replace(throws, values=columns, flags=tuple(flags), warnings=tuple(warnings))
    return without_empty_rows(table.select(is_used))
