"""The answer of `fit` as a table."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from latebreak.service.quantities import QUANTITIES, SPREAD_SCALE, Quantity, Reader, Said, clock_face, value_of
from latebreak.service.quantities.pitch import MEAN, SCATTER
from latebreak.service.questions import Answer, FitResult, PitchFit
from latebreak.service.questions.fitting.moved import moved
from latebreak.service.scenario import Scenario
from latebreak.service.tables.goal import show_progress
from latebreak.service.tables.layout import Row, prose, show_table
from latebreak.service.tables.page import closing, heading, say_flagged, say_more
from latebreak.service.wording import clean, quoted

#: Means that are told; launch angles and the gyro angle are told by the target and the efficiency.
_HIDDEN = ("gyro_deg", "launch_elevation_deg", "launch_azimuth_deg", "seam_force_clock_deg")
#: Rows in their order: means, then spreads.
_ROWS = (*(one for one in MEAN if one.key not in _HIDDEN), *(one for one in SCATTER if one.key != SPREAD_SCALE))
#: What a coach asks first.
_FIRST = ("speed_mph", "spin_rpm", "break_clock_deg", "efficiency_percent", "release_height_ft")
_INFERRED = "*"


def show(
    answer: Answer[FitResult], scenario: Scenario, reader: Reader, written: Path | None, *, whole: bool = False
) -> None:
    """Print what the throws tell; `scenario` is the base, `written` the file that holds the fitted scenario.

    `whole`: with every fitted value.
    """
    out, result = heading(answer, scenario, reader), answer.result
    rows = result.rows
    prose(out, f"{rows['read']:,} rows read, {rows['used']:,} used, {rows['left_out']:,} left out")
    out.print()
    fitted = {name: pitch for name, pitch in result.pitches.items() if pitch.used}
    told = [quantity for quantity in _ROWS if any(quantity.key in pitch.values for pitch in fitted.values())]
    first = told if whole else [quantity for quantity in told if quantity.key in _FIRST]
    table: list[Row] = [("throws", [Said(_throws(pitch)) for pitch in fitted.values()])]
    table += [(quantity.name, [_cell(quantity, pitch, reader) for pitch in fitted.values()]) for quantity in first]
    show_table(out, [scenario.called(name) for name in fitted], table)
    say_more(len(told) - len(first), "rows", out)
    flagged = [*(one for pitch in result.pitches.values() for one in pitch.flagged), *result.unreadable]
    say_flagged(sorted(flagged, key=lambda one: (one.file, one.flag.line)), out)
    _learned(fitted, scenario, out)
    _changes(result, scenario, reader, out)
    if result.goal is not None:
        show_progress(result.goal, scenario, reader, out)
    out.print()
    if written is None:
        prose(out, "The scenario is not written: -o FILE.toml writes it.", "bold")
    else:
        prose(out, f"Wrote {quoted(written)}; now ask: latebreak compare {quoted(written)}", "bold")
    fast = value_of(QUANTITIES["speed_mph"], reader).say(1.0)
    closing(
        answer,
        out,
        (
            f"In brackets the 90 % interval from the scatter of the throws; {_INFERRED} inferred from other columns. "
            f"An error that all throws share, as of a device that reads {fast} too fast, is not in it.",
        ),
    )


def _throws(pitch: PitchFit) -> str:
    *before, last = pitch.sessions.items()
    if before:
        return ", ".join(f"{used} in {clean(name)}" for name, used in (last, *before[::-1]))
    return f"{last[1]} of {pitch.count}" if pitch.count > last[1] else f"{last[1]}"


def _cell(quantity: Quantity, pitch: PitchFit, reader: Reader) -> Said:
    if quantity.key not in pitch.values:
        return Said("")
    origin, wording = pitch.origin[quantity.key], value_of(quantity, reader)
    said = wording.estimate(pitch.values[quantity.key], brief=True)
    value = said.value
    if quantity.key == "seam_force" and "seam_force_clock_deg" in pitch.values:
        value += f" toward {clock_face(pitch.values['seam_force_clock_deg'].value)}"
    if origin == "inferred":
        value += f" {_INFERRED}"
    return Said(value, origin if origin == "assumed" else said.interval)


def _learned(fitted: dict[str, PitchFit], scenario: Scenario, out: Console) -> None:
    """What holds for all pitches is said once."""
    out.print()
    prose(out, "What the throws tell:", "bold")
    sentences = dict.fromkeys(sentence for pitch in fitted.values() for sentence in pitch.learned)
    for sentence in sentences:
        names = [scenario.called(name) for name, pitch in fitted.items() if sentence in pitch.learned]
        prose(out, f"{_whose(names, fitted)}{clean(sentence)}", indent=2)


def _whose(names: Sequence[str], fitted: dict[str, PitchFit]) -> str:
    return "" if len(names) == len(fitted) else f"{', '.join(map(clean, names))}: "


def _changes(result: FitResult, scenario: Scenario, reader: Reader, out: Console) -> None:
    for name, changes in result.changes.items():
        sessions = list(result.pitches[name].sessions)
        out.print()
        between = f"from {clean(sessions[0])} to {clean(sessions[-1])}"
        prose(out, f"{clean(scenario.called(name))}, {between}:", "bold")
        for sentence in moved(changes, result.pitches[name].values, reader):
            prose(out, sentence, indent=2)
    if result.changes:
        prose(
            out,
            "Chance: of truly having changed in this direction. Of ten quantities that stayed the same, four show a "
            "chance above 80 % and one above 95 %.",
            "dim",
            indent=2,
        )
