"""What a pitch is to reach: a value of a measure, a change of it, or what another pitch has."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from latebreak.engine.errors import Fault
from latebreak.service.judging.measures import MEASURES as OF_PITCH
from latebreak.service.judging.whole_mix import MIX
from latebreak.service.quantities import QUANTITIES
from latebreak.service.quantities.units import is_finite_number
from latebreak.service.wording import did_you_mean, shown

_NUMBER = r"(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
#: Measures that can be asked for.
MEASURES = (*OF_PITCH, MIX)
WRITTEN = "14.5 or =-3 (a value), +2 or -2 (a change), like:PITCH"


@dataclass(frozen=True)
class Goal:
    """A goal for a measure.

    Attributes
    ----------
    kind : {"value", "change", "like"}
        A value, a change from now, or the value of another pitch.
    number : float
        The value or the change; 0 for another pitch.
    pitch : str
        The other pitch; empty where there is none.
    """

    kind: Literal["value", "change", "like"]
    number: float = 0.0
    pitch: str = ""


def read_goal(written: object, others: list[str]) -> Goal | Fault:
    """Read a goal.

    Parameters
    ----------
    written : object
        A number is a value; text as in `WRITTEN`.
    others : list of str
        Pitches that it may be likened to.

    Returns
    -------
    Goal or Fault
        The goal, or what is wrong with it.
    """
    if is_finite_number(written):
        return Goal("value", float(written))
    text = written.strip() if isinstance(written, str) else ""
    if text.startswith("like:"):
        name = text.removeprefix("like:").strip()
        if name in others:
            return Goal("like", pitch=name)
        allowed = "like: and any of " + ", ".join(others) if others else "there is no other pitch"
        return Fault("goal", f"there is no other pitch {shown(name)}", allowed, did_you_mean(name, others))
    found = re.fullmatch(rf"(=[+-]?|[+-]|)({_NUMBER})", text.replace(" ", ""))
    if found is None or abs(float(found[2])) == float("inf"):
        return Fault("goal", f"{shown(written)} is no goal" if text else "no goal is given", WRITTEN)
    sign, size = found[1], float(found[2])
    if sign in {"+", "-"}:
        return Goal("change", -size if sign == "-" else size)
    return Goal("value", -size if sign == "=-" else size)


def faults_of_measure(measure: str) -> tuple[Fault, ...]:
    """Return what is wrong with asking for a measure."""
    if measure in MEASURES:
        return ()
    problem = f"there is no measure {shown(measure)}" if measure else "no measure is named"
    return (Fault("measure", problem, f"one of {', '.join(MEASURES)}", did_you_mean(measure, MEASURES)),)


def usual_goal(measure: str) -> str:
    """Return what is asked for where no goal is named: twice the smallest difference that matters, for the better.

    That is one more strike without contact of 100 pitches of the mix (chosen).
    """
    quantity = QUANTITIES.get(measure)
    if quantity is None or quantity.matters is None:
        return "+1"
    return f"{'-' if quantity.better == 'less' else '+'}{2.0 * quantity.matters:g}"
