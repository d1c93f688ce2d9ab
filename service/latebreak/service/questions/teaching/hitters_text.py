"""The file of taught hitters as TOML text; `latebreak.service.scenario.hitters_file` reads it."""

from __future__ import annotations

from collections.abc import Sequence

import tomlkit

from latebreak.perception.parameters import keys, parameter_table, unit_of
from latebreak.perception.swings.teaching import Known
from latebreak.service.wording import clean


def hitters_text(known: Known, level: str, said: Sequence[str]) -> str:
    """Write a file of taught hitters.

    Parameters
    ----------
    known : Known
        What is known of them.
    level : str
        Theirs.
    said : sequence of str
        Sentences that stand at its head.
    """
    document = tomlkit.document()
    head = 'Hitters that `latebreak hitters` taught. A scenario beside this file uses it: [hitter] file = "ITS NAME".'
    for line in (head, *said):
        document.add(tomlkit.comment(clean(line)))
    document.add("level", tomlkit.item(level))
    document.add(tomlkit.comment("Lower triangle of F: x + F z is as likely; x = ln value, logit value or the value."))
    rows = tomlkit.array()
    for number, row in enumerate(known.factor, 1):
        rows.add_line([_short(float(one)) for one in row[:number]])
    rows.add_line(indent="")
    document.add("taught_factor", rows)
    table, values = parameter_table()["parameter"], tomlkit.table()
    for name in known.names:
        key = keys()[name]
        value = tomlkit.item(_short(float(getattr(known.middle, name)[0]) / unit_of(key)))
        value.comment(table[key]["meaning"])
        values.add(key, value)
    document.add("taught", values)
    return tomlkit.dumps(document)


def _short(value: float) -> float:
    return float(f"{value:.6g}")
