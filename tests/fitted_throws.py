"""An invented bullpen and what `fit` makes of it."""

from typing import Any

import numpy as np
from simulated_bullpen import as_csv, measured

from latebreak.service.questions import Answer, FitResult, fit
from latebreak.service.scenario import load
from latebreak.service.throws import parse_throws

Columns = dict[str, np.ndarray]
TRUTH = load("two-grips").scenario
PITCHES = ("fastball", "curve_spike", "curve_standard")


def bullpen(
    count: int = 12, seed: int = 1, noise: float = 1.0, pitches: tuple[str, ...] = PITCHES
) -> dict[str, Columns]:
    """Throws of the pitches of two-grips."""
    rng = np.random.default_rng(seed)
    return {name: measured(TRUTH, name, count, rng, noise) for name in pitches}


def fitted(throws: dict[str, Columns], **how: Any) -> Answer[FitResult]:
    return fit(parse_throws(as_csv(throws), source="bullpen.csv"), **({"base": "two-grips"} | how))
