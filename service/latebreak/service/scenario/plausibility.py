"""Warnings: values that are possible but unusual, and settings that do not fit together. The run goes on."""

from __future__ import annotations

from collections.abc import Iterator

from latebreak.service.quantities.units import worded_range
from latebreak.service.scenario.keys import Document, Path
from latebreak.service.scenario.kind_warnings import kind_warnings
from latebreak.service.scenario.model import Scenario
from latebreak.service.scenario.section import Section
from latebreak.service.wording import key_path, shown

#: Usual ages of a level, in years (chosen, wide).
USUAL_AGES = {"youth": (5, 15), "high_school": (13, 19), "college": (17, 26), "professional": (16, 50)}
#: ft: a release this far on the other side of the pitcher's body is more likely a slip of the sign (chosen).
WRONG_SIDE = 0.5
#: Up to this age the rubber is nearer than 60.5 ft (46 to 50 ft at 9 to 12 years: Pitch Smart, read).
SHORT_FIELD_AGE = 12


def warnings_of(scenario: Scenario, document: Document) -> Iterator[str]:
    """Word every warning.

    Parameters
    ----------
    scenario : Scenario
        Without faults.
    document : Document
        Its keys as they stand in the file.
    """
    yield from _unusual(scenario, (), document)
    yield from _ages(scenario)
    yield from _field(scenario, document)
    yield from _sides(scenario, document)
    yield from kind_warnings(scenario, document)
    for name, share in scenario.hitter.expects.items():
        if share == 0.0:
            yield f"{key_path('hitter', 'expects', name)}: share 0, so the hitter never looks for this pitch"


def _unusual(section: Section, path: Path, document: Document) -> Iterator[str]:
    for key, quantity in section.ranges().items():
        value, here = getattr(section, key), (*path, key)
        if value is None or quantity.usual is None or quantity.usual[0] <= value <= quantity.usual[1]:
            continue
        unit, usual = quantity.unit, worded_range(*quantity.usual, quantity.unit.symbol)
        written = document.written.get(here)
        amount = f"{shown(written.value)} {written.unit.symbol}" if written else f"{shown(value)} {unit.symbol}"
        if written:
            usual = written.unit.range(*quantity.usual)
        yield f"{document.where(here)}: {amount.strip()} is unusual (usual: {usual}); check the value and its unit"
    for key in section.subsections():
        yield from _unusual(getattr(section, key), (*path, key), document)
    for key in section.named_sections():
        for name, entry in getattr(section, key).items():
            yield from _unusual(entry, (*path, key, name), document)


def _ages(scenario: Scenario) -> Iterator[str]:
    age, level = scenario.pitcher.age_years, scenario.pitcher.level
    low, high = USUAL_AGES[level]
    if age is not None and not low <= age <= high:
        yield f"pitcher.age_years: {shown(age)} years is unusual for level {level} (usual: {low} to {high} years)"


def _field(scenario: Scenario, document: Document) -> Iterator[str]:
    age, level = scenario.pitcher.age_years, scenario.pitcher.level
    is_small = age <= SHORT_FIELD_AGE if age is not None else level == "youth"
    given = document.content.get("field", {})
    if is_small and "rubber_to_plate_ft" not in given:
        yield (
            "field.rubber_to_plate_ft: not given, so 60.5 ft, the full-size field; usual at 9 to 12 years: 46 to 50 ft"
        )


def _sides(scenario: Scenario, document: Document) -> Iterator[str]:
    hand = scenario.pitcher.hand
    own_side = -1.0 if hand == "right" else 1.0
    for name, entry in scenario.pitch.items():
        if entry.release_side_ft * own_side < -WRONG_SIDE:
            where = document.where(("pitch", name, "release_side_ft"))
            sign = "negative" if hand == "right" else "positive"
            yield (
                f"{where}: {shown(entry.release_side_ft)} ft is on the glove side of a {hand}-hander; sides are "
                f"positive toward the catcher's right, so a {hand}-hander's release is usually {sign}"
            )
