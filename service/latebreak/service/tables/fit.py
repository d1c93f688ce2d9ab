"""The answer of `fit` as a table."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.text import Text

from latebreak.service.quantities import QUANTITIES, SPREAD_SCALE, Quantity, Reader, clock_face, value_of
from latebreak.service.quantities.pitch import MEAN, SCATTER
from latebreak.service.questions import Answer, FitResult, PitchFit
from latebreak.service.questions.fitting.moved import moved
from latebreak.service.scenario import Scenario
from latebreak.service.tables.goal import show_progress
from latebreak.service.tables.page import closing, console, grid, heading
from latebreak.service.wording import clean, shown

#: Means that are told; launch angles and the gyro angle are told by the target and the efficiency.
_HIDDEN = ("gyro_deg", "launch_elevation_deg", "launch_azimuth_deg", "seam_force_clock_deg")
#: Rows in their order: means, then spreads.
_ROWS = (*(one for one in MEAN if one.key not in _HIDDEN), *(one for one in SCATTER if one.key != SPREAD_SCALE))
_INFERRED = "*"


def show(answer: Answer[FitResult], scenario: Scenario, reader: Reader, written: Path | None) -> None:
    """Print what the throws tell; `scenario` is the base, `written` the file that holds the fitted scenario."""
    out = console()
    heading(answer, scenario, reader, out)
    result = answer.result
    rows = result.rows
    out.print(Text(f"{rows['read']:,} rows read, {rows['used']:,} used, {rows['left_out']:,} left out"))
    fitted = {name: pitch for name, pitch in result.pitches.items() if pitch.used}
    table = grid(map(scenario.called, fitted))
    table.add_row("throws", *(Text(_throws(pitch)) for pitch in fitted.values()))
    for quantity in _ROWS:
        if any(quantity.key in pitch.values for pitch in fitted.values()):
            table.add_row(quantity.name, *(_cell(quantity, pitch, reader) for pitch in fitted.values()))
    out.print(table)
    _flagged(result, out)
    _learned(fitted, scenario, out)
    _changes(result, scenario, reader, out)
    if result.goal is not None:
        show_progress(result.goal, scenario, reader, out)
    out.print()
    if written is None:
        out.print(Text("The scenario is not written: -o FILE.toml writes it.", style="bold"))
    else:
        out.print(Text(f"Wrote {clean(str(written))}; now ask: latebreak compare {clean(str(written))}", style="bold"))
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


def _cell(quantity: Quantity, pitch: PitchFit, reader: Reader) -> Text:
    if quantity.key not in pitch.values:
        return Text("")
    origin, wording = pitch.origin[quantity.key], value_of(quantity, reader)
    said = wording.estimate(pitch.values[quantity.key], brief=True)
    cell = Text(said.value)
    if quantity.key == "seam_force" and "seam_force_clock_deg" in pitch.values:
        cell.append(f" toward {clock_face(pitch.values['seam_force_clock_deg'].value)}")
    if origin == "assumed":
        return cell.append(" (assumed)", style="dim")
    cell.append(f" ({said.interval})", style="dim")
    return cell.append(f" {_INFERRED}") if origin == "inferred" else cell


def _flagged(result: FitResult, out: Console) -> None:
    flagged = [one for pitch in result.pitches.values() for one in pitch.flagged] + list(result.unreadable)
    if not flagged:
        return
    sources = {one.source for one in flagged}
    out.print()
    out.print(Text("Not used:", style="bold"))
    for one in sorted(flagged, key=lambda one: (one.source, one.flag.line)):
        flag = one.flag
        where = f"{shown(one.source)} " if len(sources) > 1 else ""
        what = "row" if flag.left_out else clean(flag.key)
        out.print(Text(f"  {where}line {flag.line}, {clean(flag.pitch) or 'no pitch'}, {what}: {clean(flag.reason)}"))


def _learned(fitted: dict[str, PitchFit], scenario: Scenario, out: Console) -> None:
    """What holds for all pitches is said once."""
    out.print()
    out.print(Text("What the throws tell:", style="bold"))
    sentences = dict.fromkeys(sentence for pitch in fitted.values() for sentence in pitch.learned)
    for sentence in sentences:
        names = [scenario.called(name) for name, pitch in fitted.items() if sentence in pitch.learned]
        out.print(Text(f"  {_whose(names, fitted)}{clean(sentence)}"))


def _whose(names: Sequence[str], fitted: dict[str, PitchFit]) -> str:
    return "" if len(names) == len(fitted) else f"{', '.join(map(clean, names))}: "


def _changes(result: FitResult, scenario: Scenario, reader: Reader, out: Console) -> None:
    for name, changes in result.changes.items():
        sessions = list(result.pitches[name].sessions)
        out.print()
        between = f"from {clean(sessions[0])} to {clean(sessions[-1])}"
        out.print(Text(f"{clean(scenario.called(name))}, {between}:", style="bold"))
        for sentence in moved(changes, result.pitches[name].values, reader):
            out.print(Text(f"  {sentence}"))
    if result.changes:
        out.print(
            Text(
                "  Chance: of truly having changed in this direction. Of ten quantities that stayed the same, four "
                "show a chance above 80 % and one above 95 %.",
                style="dim",
            )
        )
