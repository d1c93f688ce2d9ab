"""How far a lever is moved or a quantity changed, as the page says it: in its units, and which way."""

from __future__ import annotations

from functools import partial

from latebreak.service.questions import Estimate
from latebreak.service.report.spoken import Said, in_units
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.moves import lever_label, say_move
from latebreak.service.units import Units


def said_move(key: str, change: Estimate, hand: Hand, units: Units) -> Said:
    """Say how far a lever is moved, given in the unit of its key: "4.2 mph faster", "2.1 to 6.0 mph faster"."""
    value = said_step(key, change.value, hand, units)
    if change.low is None or change.high is None:
        return Said(value)
    ends = sorted((change.low, change.high), key=abs) if change.low * change.high >= 0.0 else (change.low, change.high)
    low, high = (said_step(key, end, hand, units) for end in ends)
    number, _, words = low.partition(" ")
    # the words are said once where both ends share them, and where one end rounds to nothing
    return Said(value, f"{number} to {high}" if high.partition(" ")[2].startswith(words) else f"{low} to {high}")


def said_step(key: str, change: float, hand: Hand, units: Units) -> str:
    """Say how far a lever is moved: "4.2 mph faster"."""
    return say_move(key, change, hand, partial(in_units, units=units))


def named_step(key: str, change: float, hand: Hand, units: Units) -> str:
    """Say which lever is moved how far: "speed 1.0 mph faster"."""
    return f"{lever_label(key)} {said_step(key, change, hand, units)}"
