"""Changes from session to session in plain sentences."""

from __future__ import annotations

from collections.abc import Mapping

from latebreak.service.judging.estimates import Estimate
from latebreak.service.quantities import QUANTITIES, SPREAD, Reader, Wording, clock_face, told_of
from latebreak.service.questions.fitting.result import Change

#: Percent: a smaller chance is called no change beyond chance; from `SURE` on the change is told without a reserve.
SURE_ENOUGH, SURE = 80.0, 95.0


def moved(changes: Mapping[str, Change], values: Mapping[str, Estimate], reader: Reader) -> tuple[str, ...]:
    """Say what moved beyond what chance would do, what perhaps did, and what did not.

    Parameters
    ----------
    changes : mapping of str to Change
        Of one pitch, by key.
    values : mapping of str to Estimate
        What it has now, by key.
    reader : Reader
        In whose units.
    """
    sure: list[str] = []
    perhaps: list[str] = []
    still: list[str] = []
    steady: list[str] = []  # spreads
    for key, change in changes.items():
        quantity = QUANTITIES[key]
        wording = told_of(quantity, reader)
        if wording is None:  # another key says it better: gyro angle, launch angles
            continue
        if change.chance_percent < SURE_ENOUGH:
            (steady if key.startswith(SPREAD) else still).append(quantity.brief)
        else:
            is_sure = round(change.chance_percent) >= SURE
            faces = _faces(change, values[key]) if key == "break_clock_deg" else ""
            (sure if is_sure else perhaps).append(_said(wording, change, faces))
    sentences = [f"{words[0].upper()}{words[1:]}." for words in sure]
    if perhaps:
        sentences.append(f"Perhaps: {'; '.join(perhaps)}.")
    if steady:
        still.append(f"spread of {', '.join(steady)}")
    if still:
        sentences.append(f"No change beyond chance: {', '.join(still)}.")
    return tuple(sentences)


def _faces(change: Change, now: Estimate) -> str:
    """Say from where to where a direction turned."""
    return f", {clock_face(now.value - change.estimate.value)} to {clock_face(now.value)}"


def _said(wording: Wording, change: Change, faces: str) -> str:
    value = change.estimate.value
    by = wording.difference(change.estimate, change.chance_percent)
    return f"{wording.sign[value < 0.0]} by {by}{faces}"
