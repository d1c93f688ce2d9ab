"""Pages of a staff from outcomes that are given, for tests of what stands on them and of how they lie."""

from typing import Any

from starters import starter

from latebreak.service.report.staff import render_staff
from latebreak.service.scenario import from_mapping
from latebreak.service.sweep.asking import ANSWERED, Ask, Outcome
from latebreak.service.sweep.measures import MEASURES
from latebreak.service.sweep.planned import Plan
from latebreak.service.sweep.what_ifs import Axis, WhatIfs

BASE = starter()
ASK = Ask({}, MEASURES["compare"], roads=True)
#: A road as `reach` has it.
ROAD: dict[str, Any] = {
    "pitch": "curve", "lever": "speed_mph", "change": {"value": 2.5, "low": 1.5, "high": 3.5, "sampling_error": 0.1},
    "new_value": 80.0, "reachable": True, "reason": "", "measure_there": 30.0, "lowest": 66.0, "highest": 88.0,
    "trouble": "",
}  # fmt: skip


def scenario(title: str, **pitcher: Any) -> dict[str, Any]:
    pitches = {**BASE["pitch"], "slider": {**BASE["pitch"]["curve"], "speed_mph": 82.0}}
    return {**BASE, "title": title, "pitcher": {**BASE["pitcher"], **pitcher}, "pitch": pitches}


def outcome(
    mixes: dict[str, float], *, better: str | None = None, chance: float | None = 95.0, road: Any = None
) -> Outcome:
    """An answer whose pitches differ in what they make of the mix; every other measure is 30."""
    numbers = {}
    for name, mix in mixes.items():
        row: dict[str, float | None] = {
            column: 30.0 + (column.endswith("_high") - column.endswith("_low")) for column in ASK.columns
        }
        key = "mix_strike_without_contact_percent"
        numbers[name] = row | {key: mix, f"{key}_low": mix - 2.0, f"{key}_high": mix + 2.5}
    first, *others = sorted(mixes.values(), reverse=True)
    lead = first - others[0] if others else None
    return Outcome(ANSWERED, numbers, better, chance, (), lead, road)


def page(*pitchers: tuple[dict[str, Any] | None, Outcome], units: Any = "us", ask: Ask = ASK) -> str:
    names = [f"{number}.toml" for number in range(len(pitchers))]
    loaded = {
        name: from_mapping(tables) for name, (tables, _) in zip(names, pitchers, strict=True) if tables is not None
    }
    what_ifs = WhatIfs((Axis(("scenario",), tuple((name,) for name in names)),))
    return render_staff(Plan(loaded, ask, what_ifs), [one for _, one in pitchers], units)
