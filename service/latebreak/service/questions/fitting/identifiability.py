"""What throws tell about a pitch and what they can't, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator

from latebreak.service.quantities import QUANTITIES, SPREAD, clock_face
from latebreak.service.questions.fitting.values import NORMAL_90, Known

#: How an inferred quantity comes about, where it does not come straight from other columns.
_INFERRED = {
    "spin_rpm": "the spin rate is what moves the ball as far as measured",
    "break_clock_deg": "the break clock is the direction of the movement: spin and seams are not told apart",
    "efficiency_percent": "spin efficiency is what makes this spin rate move the ball as far as measured",
    "launch_elevation_deg": "the launch angles are those that take each throw to where it arrived",
}
#: What the engine calls undecidable.
_UNDECIDABLE = {
    "agreement": "Not told by any one pitch: the measurements contradict each other, nothing moves and slows like this "
    "with the spin that was measured; the values are the nearest. Check signs, units and columns.",
    "gyro_sense": "Not told: which way the gyro spin turns; {sense} seen from behind is assumed. A column gyro_deg "
    "tells it.",
    "efficiency_or_lift_scale": "Not told: whether the axis is clean or the ball lifts more than usual, which move it "
    "alike; the base's lift is assumed. A column efficiency_percent tells them apart.",
    "efficiency": "Not told: how much of the spin bends the flight. A column efficiency_percent, or induced breaks, "
    "tell it.",
    "spin_rate": "Not told: the spin rate. A column spin_rpm tells it.",
    "spin_rate_or_lift_scale": "Not told: whether the ball spins fast or lifts more than usual, which move it alike; "
    "the base's lift is assumed. A column spin_rpm tells them apart.",
    "break_clock": "Not told: where the spin pushes. A column break_clock, or induced breaks, tell it.",
    "launch": "Not told: where the pitch is thrown. Columns arrival_side_ft and arrival_height_ft tell it.",
    "lift_scale": "Not told: how much the ball lifts for its spin; the base's lift is assumed. Columns of induced "
    "break tell it, beside efficiency_percent.",
    "seam_force": "Not told: a push by the seams. It takes both the break clock of the spin and the movement.",
    "seam_force_along_break_clock": "Not told: a push by the seams along the break clock, which looks like spin "
    "efficiency or lift; only its part across is known.",
    "drag_coefficient": "Not told: how much the air slows the ball; the base's drag is assumed. A column "
    "arrival_speed_mph tells it.",
}
#: Standard errors from which on a seam-made force is claimed (chosen: 99 %, because every pitch is looked at).
BEYOND_CHANCE = 2.5758293035489004
#: Smallest seam-made force that is claimed (coefficient, chosen): an efficiency that is read 15 points off looks like
#: 0.008, because gyro spin bends the flight aside a little, and a break clock that is read 2 deg off like 0.007.
LEAST_SEAM_FORCE = 0.015
#: Throws from which on the spread is mostly the pitcher's own.
_FEW = 5


def learned(known: Known) -> tuple[str, ...]:
    """Say what is measured, inferred and assumed of a pitch, and what its throws can't tell."""
    return tuple(_sentences(known))


def _sentences(known: Known) -> Iterator[str]:
    measured = _listed(known, "measured")
    if measured:
        yield f"Measured: {', '.join(measured)}."
    inferred = _listed(known, "inferred")
    if inferred:
        how = [words for key, words in _INFERRED.items() if known.origin.get(key) == "inferred"]
        yield f"Inferred: {', '.join(inferred)}" + (f" ({'; '.join(how)})." if how else ".")
    assumed = [
        QUANTITIES[key].brief + (f" ({known.assumed.sources[key]})" if key in known.assumed.sources else "")
        for key in known.values
        if not key.startswith(SPREAD) and known.origin[key] == "assumed" and key not in _SAID_APART
    ]
    if assumed:
        yield f"Assumed, because the throws say nothing: {', '.join(assumed)}."
    yield from _seams(known)
    if known.aimed_with:
        yield (
            f"Aimed at one place with {', '.join(known.aimed_with)}: their mean arrivals don't differ beyond chance, "
            "so they share the target."
        )
    sense = "clockwise" if known.values["gyro_deg"].value >= 0.0 else "counter-clockwise"
    for word in known.fitted.undecidable:
        yield _UNDECIDABLE.get(word, f"Not told: {word.replace('_', ' ')}.").format(sense=sense)
    unknown = [key for key, where in known.origin.items() if key.startswith(SPREAD) and where == "assumed"]
    if known.fitted.count == 1:
        yield "One throw tells nothing about the spread: it is the usual one of the level."
    elif unknown:
        listed = ", ".join(QUANTITIES[key].brief for key in unknown)
        yield f"Spread not told, so the usual one of the level: {listed}."
    if 1 < known.fitted.count < _FEW:
        yield f"{known.fitted.count} throws tell little about the spread: it is nearer the usual one of the level."


def _seams(known: Known) -> Iterator[str]:
    """Say whether the movement shows more than the spin explains."""
    if known.origin["seam_force"] == "assumed" or known.fitted.seam_clock is None:
        return
    value, error = known.values["seam_force"].value, known.errors["seam_force"]
    size = f"{value:.3f} +- {NORMAL_90 * error:.3f}"
    toward = clock_face(known.values["seam_force_clock_deg"].value)
    if value > max(BEYOND_CHANCE * error, LEAST_SEAM_FORCE):
        yield (
            f"The ball moves aside of where its spin points: a seam-made force of {size} (90 %) toward "
            f"{toward}. A wrong spin efficiency can't make that much; a break clock that is read off can."
        )
    else:
        yield (
            "The ball moves where its spin points: no seam-made force beyond chance and small misreadings "
            f"({size} across, toward {toward})."
        )


#: Quantities that have a sentence of their own in `_UNDECIDABLE`.
_SAID_APART = ("drag_coefficient", "lift_scale", "seam_force", "gyro_deg")


def _listed(known: Known, where: str) -> list[str]:
    means = (key for key in known.values if not key.startswith(SPREAD))
    return [QUANTITIES[key].brief for key in means if known.origin[key] == where]
