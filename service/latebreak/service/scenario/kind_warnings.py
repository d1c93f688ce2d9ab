"""Warnings about pitches that are not what their role says, or whose break clock is on the wrong side."""

from __future__ import annotations

from collections.abc import Iterator
from math import sin

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.units import DEGREE, MPH, RPM
from latebreak.perception.kinds import KINDS, NAMES, fit_of_kinds, kind_weights, spin_parts
from latebreak.service.scenario.keys import Document
from latebreak.service.scenario.model import Scenario, reference_fastball
from latebreak.service.scenario.physical import signed_gyro
from latebreak.service.scenario.pitch_entry import PitchEntry
from latebreak.service.scenario.section import Hand
from latebreak.service.wording import shown

#: Weight of all kinds of its role together, below which a role contradicts the pitch (chosen).
_CONTRADICTION = 0.05
#: How much better (logarithm of the weight) the mirrored clock must fit, and the least sine of the angle from 12:00 or
#: 6:00 that makes a side at all (chosen: 20 degrees).
_MIRRORED_FITS, _HAS_A_SIDE = 3.0, sin(20.0 * DEGREE)


def kind_warnings(scenario: Scenario, document: Document) -> Iterator[str]:
    """Word every warning of a scenario without faults."""
    level, hand = scenario.pitcher.level, scenario.pitcher.hand
    fastball = reference_fastball(scenario)
    beside = None if fastball is None else scenario.pitch[fastball].speed_mph * MPH
    for name, entry in scenario.pitch.items():
        own, speed = _spin(entry, hand), np.array([entry.speed_mph * MPH])
        mirrored = own * np.array([[1.0], [-1.0], [-1.0]])
        gain = (
            fit_of_kinds(level, hand, mirrored, speed, beside).max()
            - fit_of_kinds(level, hand, own, speed, beside).max()
        )
        if gain > _MIRRORED_FITS and abs(sin(entry.break_clock_deg * DEGREE)) > _HAS_A_SIDE:
            yield (
                f"{document.where(('pitch', name, 'break_clock_deg'))}: the spin pushes to the wrong side for a "
                f"{hand}-hander; break clocks are as the PITCHER sees them: if it was read from behind the plate, "
                f"mirror it to {(360.0 - entry.break_clock_deg) % 360.0:.4g} deg"
            )
        elif name != fastball:
            yield from _contradiction(document, name, entry, kind_weights(level, hand, own, speed, beside)[:, 0])


def _contradiction(document: Document, name: str, entry: PitchEntry, weights: NDArray[np.float64]) -> Iterator[str]:
    of_role = sum(
        float(weight) for weight, kind in zip(weights, KINDS.values(), strict=True) if kind.role == entry.role
    )
    if of_role >= _CONTRADICTION:
        return
    kind = NAMES[int(weights.argmax())]
    written = document.content.get("pitch", {}).get(name, {})
    given = f"role {shown(entry.role)}" if "role" in written else f"no role, which means {shown(entry.role)}"
    yield (
        f"{document.where(('pitch', name, 'role'))}: {given}, but its speed beside the fastball, its spin rate, "
        f"efficiency and break clock are those of a {kind.replace('_', '-')}; write role = {shown(KINDS[kind].role)}, "
        "or check these values"
    )


def _spin(entry: PitchEntry, hand: Hand) -> NDArray[np.float64]:
    values = entry.spin_rpm * RPM, entry.break_clock_deg * DEGREE, signed_gyro(entry, hand)
    return spin_parts(*(np.array([value]) for value in values))
