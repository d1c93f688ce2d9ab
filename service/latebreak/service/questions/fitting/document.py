"""The fitted scenario: the base's tables, and the pitches that were thrown."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from latebreak.service.questions.fitting.base import Base
from latebreak.service.questions.fitting.entry import entry_of, rounded
from latebreak.service.questions.fitting.roles import Roles
from latebreak.service.questions.fitting.values import Known
from latebreak.service.scenario.pitch_entry import PitchEntry
from latebreak.service.wording import clean, shown

#: Longest title, in characters, before what is added here.
_LONGEST_TITLE = 120


def scenario_of(base: Base, known: Mapping[str, Known], roles: Roles, source: str) -> tuple[dict[str, Any], list[str]]:
    """Build the scenario of fitted pitches.

    Parameters
    ----------
    base : Base
        What the throws don't say.
    known : mapping of str to Known
        Fitted pitches by name.
    roles : Roles
        What they are.
    source : str
        File of the throws.

    Returns
    -------
    mapping : dict
        Tables in the keys of a scenario file.
    warnings : list of str
        What the base had and this scenario has not, and the like.
    """
    scenario, warnings = base.scenario, []
    several = sum(role == "fastball" for role in roles.of.values()) > 1
    pitches = {name: entry_of(one, base, reference=several and name == roles.fastball) for name, one in known.items()}
    if roles.fastball is None and base.fastball is not None:
        pitches = {base.fastball: _taken_over(scenario.pitch[base.fastball]), **pitches}
        warnings.append(
            f"no throw is a fastball: the base's {shown(base.fastball)} is taken over"
            " (or name the fastball among the throws with --fastball NAME)"
        )
    elif roles.fastball is None:
        warnings.append(
            "neither throws nor base have a fastball; compare will need one: measure it, name it with "
            '--fastball NAME, or give it role = "fastball"'
        )
    left = [name for name in scenario.pitch if name not in pitches]
    if left:
        warnings.append(f"not thrown, so left out of the scenario: the base's {', '.join(map(shown, left))}")
    tables = dict(base.tables)
    hitter = dict(tables.get("hitter", {}))
    expects = hitter.get("expects")
    if expects is not None and set(expects) != set(pitches):
        del hitter["expects"]
        warnings.append(
            "hitter.expects names other pitches than were thrown, so the shares are the usual ones: fastballs 0.6 "
            "together, the rest evenly"
        )
    if hitter:
        tables["hitter"] = hitter
    ends = {"pitch": pitches, **({"hitter": tables.pop("hitter")} if "hitter" in tables else {})}
    head = {"title": _title(scenario.title, source), "seed": scenario.seed, "throws": scenario.throws}
    return {**head, **tables, **ends}, warnings


def _title(base: str, source: str) -> str:
    plain = re.sub(r" \(fitted to .*\)$", "", base)[:_LONGEST_TITLE]
    return f"{plain} (fitted to {clean(source)[-60:]})"


def _taken_over(entry: PitchEntry) -> dict[str, Any]:
    """Return a pitch of the base as a table, without what says nothing."""
    dumped = entry.model_dump(exclude_none=True)
    if "seam_force_clock_deg" not in dumped:
        del dumped["seam_force"]
    del dumped["reference"]
    dumped["spread"] = {key: rounded(key, value) for key, value in dumped["spread"].items()}
    return {key: value for key, value in dumped.items() if value != {}}
