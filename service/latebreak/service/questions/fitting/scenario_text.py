"""A fitted scenario as TOML text, with comments that say where its numbers come from."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import PurePath
from typing import Any

import tomlkit
from tomlkit.items import Table

from latebreak.service.quantities import SPREAD, clock_face
from latebreak.service.questions.fitting.values import Known
from latebreak.service.wording import clean, shown

HEAD = (
    "A scenario fitted to measured throws by `latebreak fit`. Change what you know better.",
    "Every key ends in its unit. Sides are positive toward the catcher's right; break_clock_deg is the direction in",
    "which the spin pushes the ball on the clock face as the PITCHER sees it, 0 = 12:00, 90 = 3:00.",
    "inferred: computed from other columns; assumed: the throws say nothing about it.",
)


def scenario_text(mapping: Mapping[str, Any], known: Mapping[str, Known], from_base: str) -> str:
    """Write a scenario.

    Parameters
    ----------
    mapping : mapping
        Its tables, in the keys of the file.
    known : mapping of str to Known
        Fitted pitches by name; a pitch that is not among them comes from the base.
    from_base : str
        Path or name of the base.
    """
    document = tomlkit.document()
    for line in HEAD:
        document.add(tomlkit.comment(line))
    document.add(tomlkit.comment(clean(f"Air, field, ball, pitcher and hitter come from {shown(from_base)}.")))
    for key, value in mapping.items():
        if key == "pitch":
            pitches = tomlkit.table(is_super_table=True)
            for name, entry in value.items():
                pitches.add(name, _pitch(entry, known.get(name), from_base))
            document.add("pitch", pitches)
        else:
            document.add(key, _table(value) if isinstance(value, Mapping) else tomlkit.item(value))
    return tomlkit.dumps(document)


def _pitch(entry: Mapping[str, Any], known: Known | None, from_base: str) -> Table:
    table = tomlkit.table()
    if known is None:
        table.add(tomlkit.comment(clean(f"Not among the throws: taken over from {shown(from_base)}.")))
    else:
        is_named = known.session and known.session != PurePath(known.source).stem
        when = f", session {shown(known.session)}" if is_named else ""
        throws = f"{known.fitted.count} throw{'s' * (known.fitted.count != 1)}"
        table.add(tomlkit.comment(clean(f"From {throws} in {shown(known.source)}{when}.")))
    for key, value in entry.items():
        if isinstance(value, Mapping):
            table.add(key, _table(value, known, SPREAD if key == "spread" else None))
            continue
        item = tomlkit.item(value)
        note = _note(key, value, known)
        if note:
            item.comment(note)
        table.add(key, item)
    return table


def _table(values: Mapping[str, Any], known: Known | None = None, prefix: str | None = None) -> Table:
    table = tomlkit.table()
    for key, value in values.items():
        if isinstance(value, Mapping):
            table.add(key, _table(value))
            continue
        item = tomlkit.item(value)
        if known is not None and prefix is not None and known.origin.get(prefix + key, "assumed") != "measured":
            item.comment(known.origin.get(prefix + key, "assumed"))
        table.add(key, item)
    return table


def _note(key: str, value: object, known: Known | None) -> str:
    words = [clock_face(value)] if "clock" in key and isinstance(value, float) else []
    if known is not None and known.origin.get(key, "measured") != "measured":
        source = known.assumed.sources.get(key) if known.origin[key] == "assumed" else None
        words.append(known.origin[key] + (f": {clean(source)}" if source else ""))
    return ", ".join(words)
