"""The answer of `fit` as a table."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.text import Text

from latebreak.service.questions import Answer, Estimate, FitResult, PitchFit
from latebreak.service.questions.fitting.result import SPREAD
from latebreak.service.questions.fitting.trade import clock_face
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.page import closing, console, grid, heading
from latebreak.service.tables.phrases import Phrase
from latebreak.service.wording import clean, shown

#: Means, then spreads. Keys with a clock are said as clock times.
PHRASES = {
    "speed_mph": Phrase("speed", "mph", 1),
    "spin_rpm": Phrase("spin rate", "rpm", 0),
    "break_clock_deg": Phrase("break clock", "", 0),
    "efficiency_percent": Phrase("spin efficiency", "%", 0),
    "release_side_ft": Phrase("release side", "ft", 2, "side"),
    "release_height_ft": Phrase("release height", "ft", 2),
    "extension_ft": Phrase("extension", "ft", 2),
    "target_height_ft": Phrase("height at the plate", "ft", 2),
    "target_side_ft": Phrase("side at the plate", "ft", 2, "side"),
    "drag_coefficient": Phrase("drag coefficient", "", 3),
    "lift_scale": Phrase("lift, times the usual", "", 2),
    "seam_force": Phrase("seam-made force, coefficient", "", 3),
}
SPREADS = {
    "speed_mph": Phrase("spread of speed", "mph", 1),
    "spin_rpm": Phrase("  spin rate", "rpm", 0),
    "break_clock_deg": Phrase("  break clock", "deg", 1),
    "gyro_deg": Phrase("  gyro angle", "deg", 1),
    "release_side_in": Phrase("  release side", "in", 1),
    "release_height_in": Phrase("  release height", "in", 1),
    "extension_in": Phrase("  extension", "in", 1),
    "launch_elevation_deg": Phrase("  launch elevation", "deg", 2),
    "launch_azimuth_deg": Phrase("  launch azimuth", "deg", 2),
}
_INFERRED = "*"


def show(answer: Answer[FitResult], scenario: Scenario, written: Path | None) -> None:
    """Print what the throws tell; `scenario` is the base, `written` the file that holds the fitted scenario."""
    out, hand = console(), scenario.pitcher.hand
    heading(answer, scenario, out)
    result = answer.result
    rows = result.rows
    out.print(Text(f"{rows['read']:,} rows read, {rows['used']:,} used, {rows['left_out']:,} left out"))
    fitted = {name: pitch for name, pitch in result.pitches.items() if pitch.used}
    table = grid(fitted)
    table.add_row("throws", *(Text(_throws(pitch)) for pitch in fitted.values()))
    for prefix, phrases in (("", PHRASES), (SPREAD, SPREADS)):
        for key, phrase in phrases.items():
            if any(prefix + key in pitch.values for pitch in fitted.values()):
                table.add_row(phrase.label, *(_cell(prefix + key, phrase, pitch, hand) for pitch in fitted.values()))
    out.print(table)
    _flagged(result, out)
    _learned(fitted, out)
    _changes(result, out)
    out.print()
    if written is None:
        out.print(Text("The scenario is not written: -o FILE.toml writes it.", style="bold"))
    else:
        out.print(Text(f"Wrote {clean(str(written))}; now ask: latebreak compare {clean(str(written))}", style="bold"))
    closing(
        answer,
        out,
        (
            f"In brackets the 90 % interval from the scatter of the throws; {_INFERRED} inferred from other columns. "
            "An error that all throws share, as of a device that reads 1 mph too fast, is not in it.",
        ),
    )


def _throws(pitch: PitchFit) -> str:
    *before, last = pitch.sessions.items()
    if before:
        return ", ".join(f"{used} in {clean(name)}" for name, used in (last, *before[::-1]))
    return f"{last[1]} of {pitch.count}" if pitch.count > last[1] else f"{last[1]}"


def _cell(key: str, phrase: Phrase, pitch: PitchFit, hand: Hand) -> Text:
    if key not in pitch.values:
        return Text("")
    estimate, origin = pitch.values[key], pitch.origin[key]
    is_clock = key == "break_clock_deg"
    cell = Text(clock_face(estimate.value) if is_clock else phrase.say(estimate.value, hand).strip())
    if key == "seam_force" and "seam_force_clock_deg" in pitch.values:
        cell.append(f" toward {clock_face(pitch.values['seam_force_clock_deg'].value)}")
    if origin == "assumed":
        return cell.append(" (assumed)", style="dim")
    cell.append(f" ({_interval(estimate, phrase, hand, is_clock=is_clock)})", style="dim")
    return cell.append(f" {_INFERRED}") if origin == "inferred" else cell


def _interval(estimate: Estimate, phrase: Phrase, hand: Hand, *, is_clock: bool) -> str:
    if is_clock and estimate.low is not None and estimate.high is not None:
        return f"{clock_face(estimate.low)} to {clock_face(estimate.high)}"
    return phrase.say_range(estimate.low, estimate.high, hand)


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


def _learned(fitted: dict[str, PitchFit], out: Console) -> None:
    """What holds for all pitches is said once."""
    out.print()
    out.print(Text("What the throws tell:", style="bold"))
    sentences = dict.fromkeys(sentence for pitch in fitted.values() for sentence in pitch.learned)
    for sentence in sentences:
        names = [name for name, pitch in fitted.items() if sentence in pitch.learned]
        out.print(Text(f"  {_whose(names, fitted)}{clean(sentence)}"))


def _whose(names: Sequence[str], fitted: dict[str, PitchFit]) -> str:
    return "" if len(names) == len(fitted) else f"{', '.join(map(clean, names))}: "


def _changes(result: FitResult, out: Console) -> None:
    for name, sentences in result.moved.items():
        sessions = list(result.pitches[name].sessions)
        out.print()
        between = f"from {clean(sessions[0])} to {clean(sessions[-1])}"
        out.print(Text(f"{clean(name)}, {between}:", style="bold"))
        for sentence in sentences:
            out.print(Text(f"  {sentence}"))
    if result.moved:
        out.print(
            Text(
                "  Chance: of truly having changed in this direction. Of ten quantities that stayed the same, four "
                "show a chance above 80 % and one above 95 %.",
                style="dim",
            )
        )
