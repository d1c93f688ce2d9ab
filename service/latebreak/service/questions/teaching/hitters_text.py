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
    for line in (
        'Hitters that `latebreak hitters` taught. A scenario uses them by [hitter] file = "THIS FILE".',
        *said,
    ):
        document.add(tomlkit.comment(clean(line)))
    document.add("level", tomlkit.item(level))
    table = parameter_table()["parameter"]
    values, sds = tomlkit.table(), tomlkit.table()
    sds.add(
        tomlkit.comment("SDs of ln value, logit value or the value itself, as each parameter's uncertainty is normal")
    )
    for name, sd in zip(known.names, known.sd, strict=True):
        key = keys()[name]
        value = tomlkit.item(_short(float(getattr(known.middle, name)[0]) / unit_of(key)))
        value.comment(table[key]["meaning"])
        values.add(key, value)
        sds.add(key, _short(float(sd)))
    document.add("taught", values)
    document.add("taught_sd", sds)
    return tomlkit.dumps(document)


def _short(value: float) -> float:
    return float(f"{value:.6g}")
