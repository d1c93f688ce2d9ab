"""Changes from session to session in plain sentences."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from latebreak.service.questions.fitting.result import SPREAD, Change
from latebreak.service.questions.fitting.trade import clock_face
from latebreak.service.questions.fitting.values import Known
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS
from latebreak.service.scenario.section import Hand

#: Percent: a smaller chance is called no change beyond chance; from `SURE` on the change is told without a reserve.
SURE_ENOUGH, SURE = 80.0, 95.0


@dataclass(frozen=True)
class Wording:
    """How a rise and a fall of a quantity are said: "{rise} by {size} {unit}"."""

    name: str
    rise: str
    fall: str
    unit: str
    digits: int
    scale: float = 1.0


WORDINGS = {
    "speed_mph": Wording("speed", "faster", "slower", "mph", 1),
    "spin_rpm": Wording("spin rate", "more spin", "less spin", "rpm", 0),
    "break_clock_deg": Wording("break clock", "break clock turned clockwise", "break clock turned back", "deg", 0),
    "efficiency_percent": Wording("spin efficiency", "cleaner axis", "less clean axis", "points of efficiency", 0),
    "release_side_ft": Wording("release side", "", "", "in", 1, 12.0),
    "release_height_ft": Wording("release height", "released higher", "released lower", "in", 1, 12.0),
    "extension_ft": Wording("extension", "more extension", "less extension", "in", 1, 12.0),
    "target_side_ft": Wording("side at the plate", "", "", "in", 1, 12.0),
    "target_height_ft": Wording("height at the plate", "arrives higher", "arrives lower", "in", 1, 12.0),
    "drag_coefficient": Wording("drag", "more drag", "less drag", "(coefficient)", 3),
    "lift_scale": Wording("lift", "more lift for its spin", "less lift for its spin", "(factor)", 2),
    "seam_force": Wording("seam-made force", "more seam-made force", "less seam-made force", "(coefficient)", 3),
    "late_break_in": Wording("late break", "more late break", "less late break", "in", 1),
    "same_line_separation_ft": Wording(
        "where it separates from the fastball",
        "separates from the fastball sooner",
        "looks like the fastball longer",
        "ft",
        1,
    ),
    "miss_chance_percent": Wording("misses", "missed more", "missed less", "points of swings", 1),
}
_SPREAD_NAMES = dict(
    zip(
        SPREAD_KEYS,
        ("speed", "spin rate", "break clock", "gyro angle", "release side", "release height", "extension",
         "launch elevation", "launch azimuth"),
        strict=True,
    )
)  # fmt: skip
_SPREAD_UNITS = {"_mph": "mph", "_rpm": "rpm", "_deg": "deg", "_in": "in"}


def moved(changes: Mapping[str, Change], earlier: Known, later: Known, hand: Hand) -> tuple[str, ...]:
    """Say what moved beyond what chance would do, what perhaps did, and what did not."""
    sure: list[str] = []
    perhaps: list[str] = []
    still: list[str] = []
    steady: list[str] = []  # spreads
    for key, change in changes.items():
        wording = _wording(key, hand)
        if wording is None:
            continue
        if change.chance_percent < SURE_ENOUGH:
            (steady if key.startswith(SPREAD) else still).append(wording.name)
        else:
            is_sure = round(change.chance_percent) >= SURE
            (sure if is_sure else perhaps).append(_said(key, wording, change, earlier, later, brief=not is_sure))
    sentences = [f"{words[0].upper()}{words[1:]}." for words in sure]
    if perhaps:
        sentences.append(f"Perhaps: {'; '.join(perhaps)}.")
    if steady:
        still.append(f"spread of {', '.join(steady)}")
    if still:
        sentences.append(f"No change beyond chance: {', '.join(still)}.")
    return tuple(sentences)


def _wording(key: str, hand: Hand) -> Wording | None:
    """How a change of a key is said; None where another key says it better (gyro angle, launch angles)."""
    if key.startswith(SPREAD):
        short = key.removeprefix(SPREAD)
        unit = next(unit for end, unit in _SPREAD_UNITS.items() if short.endswith(end))
        name = _SPREAD_NAMES[short]
        digits = 0 if unit == "rpm" else 1
        return Wording(name, f"{name} varies more", f"{name} varies less", unit, digits)
    wording = WORDINGS.get(key)
    if wording is not None and not wording.rise:  # positive = catcher's right = the glove side of a right-hander
        what = "released" if key == "release_side_ft" else "arrives"
        sides = [f"{what} farther to the {side} side" for side in ("glove", "arm")]
        rise, fall = sides if hand == "right" else sides[::-1]
        return Wording(wording.name, rise, fall, wording.unit, wording.digits, wording.scale)
    return wording


def _said(key: str, wording: Wording, change: Change, earlier: Known, later: Known, *, brief: bool) -> str:
    value = wording.scale * change.estimate.value
    # an interval is said in the direction of the change: "slower by 0.8 mph (90 %: 0.2 to 1.4)"
    sign = 1.0 if value >= 0.0 else -1.0
    words = f"{wording.rise if value >= 0.0 else wording.fall} by {abs(value):.{wording.digits}f} {wording.unit}"
    low, high = change.estimate.low, change.estimate.high
    interval = ""
    if low is not None and high is not None and not brief:
        ends = sorted(sign * wording.scale * end for end in (low, high))
        interval = f"90 %: {' to '.join(_number(end, wording.digits) for end in ends)}; "
    if key == "break_clock_deg":
        faces = [clock_face(known.values[key].value) for known in (earlier, later)]
        words += f", {faces[0]} to {faces[1]}"
    return f"{words} ({interval}chance {_chance(change.chance_percent)} %)"


def _number(value: float, digits: int) -> str:
    return f"{round(value, digits) + 0.0:.{digits}f}"  # no negative zero


def _chance(percent: float) -> str:
    """Round a chance without claiming certainty."""
    return "over 99" if percent >= 99.5 else f"{percent:.0f}"
