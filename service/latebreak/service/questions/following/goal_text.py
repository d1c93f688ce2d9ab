"""A goal as TOML text, with comments that say its numbers in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import tomlkit
from tomlkit.items import Table

from latebreak.service import writing
from latebreak.service.quantities import QUANTITIES, Reader, Wording, value_of
from latebreak.service.questions.following.kept_goal import KeptGoal
from latebreak.service.wording import clean

#: First line of every file of a goal, by which it is known again.
FIRST_LINE = "# A goal of `latebreak goal`."
OWN = writing.Own("goal of latebreak goal", lambda file: file.read(len(FIRST_LINE)) == FIRST_LINE.encode())


def goal_text(goal: KeptGoal, said: str, asked_of: str, reader: Reader) -> str:
    """Write a goal.

    Parameters
    ----------
    goal : KeptGoal
        What is kept.
    said : str
        The sentence that says what is wanted.
    asked_of : str
        Path or name of the scenario that the goal is of.
    reader : Reader
        In whose units the comments are; keys end in theirs.
    """
    measure, tables = value_of(QUANTITIES[goal.measure], reader), goal.parts()
    document = tomlkit.document()
    for line in (
        FIRST_LINE.removeprefix("# "),
        said,
        "How far it is by later throws, behind the same fastball and at the same target:",
        f"  latebreak fit THROWS.csv --base {asked_of} --goal THIS_FILE",
        "Values are in the unit at the end of their key; those of [goal] and [now] in that of the measure.",
    ):
        document.add(tomlkit.comment(clean(line)))
    for key, value in tables.items():
        if not isinstance(value, Mapping):
            item = tomlkit.item(value)
            if key == "measure":
                item.comment(QUANTITIES[goal.measure].name)
            document.add(key, item)
    document.add("pitcher", _table(tables["pitcher"]))
    document.add("goal", _table(tables["goal"], "value", measure))
    stood = _table(tables["now"], "value", measure)
    stood.comment("where it stood that day; low to high is the 90 % interval")
    document.add("now", stood)
    roads = tomlkit.table(is_super_table=True)
    for key, road in tables["roads"].items():
        lever = _table(road, "", value_of(QUANTITIES[key], reader))
        lever.comment(f"{QUANTITIES[key].name}, all else as it is")
        roads.add(key, lever)
    if tables["roads"]:
        document.add(tomlkit.nl())
        document.add(tomlkit.comment("Roads: any one of them alone gets there."))
        document.add("roads", roads)
    return tomlkit.dumps(document)


def _table(values: Mapping[str, Any], only: str = "", wording: Wording | None = None) -> Table:
    """Write a table, one of its values or all of them said in words too."""
    table = tomlkit.table()
    for key, value in values.items():
        item = tomlkit.item(value)
        if wording is not None and only in ("", key):
            item.comment(wording.say(value))
        table.add(key, item)
    return table
