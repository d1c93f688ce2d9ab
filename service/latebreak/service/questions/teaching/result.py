"""What a record of swings teaches: parameters, how sure they are, how well they predict, the file that holds them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from latebreak.service.plain import OPTIONAL
from latebreak.service.questions.answer import Estimate
from latebreak.service.questions.fitting.result import Flagged


@dataclass(frozen=True)
class TaughtParameter:
    """One parameter, in the unit of its key.

    Attributes
    ----------
    before, now : Estimate
        What was known, and what is known now: 90 % intervals.
    moved_sd : float
        How far it moved, in the SDs of what was known.
    sd_left_percent : float
        SD now, of the SD before: 100 = the record says nothing about it.
    """

    before: Estimate
    now: Estimate
    moved_sd: float
    sd_left_percent: float


@dataclass(frozen=True)
class Prediction:
    """How well something predicts swings, and misses of those swings; log losses in nats, areas 0.5 to 1.

    An area is None where all swung, or none; where nobody did, nothing is said of misses.
    """

    swing_log_loss: float
    swing_area: float
    miss_log_loss: float
    miss_area: float


@dataclass(frozen=True)
class HeldOut:
    """How well days are predicted that were not learnt from.

    Attributes
    ----------
    days, pitches, swings : int
        Held out.
    predictions : dict of str to Prediction
        By name: simple ones with the rates of the other days, the hitter before and the taught one.
    gain : Estimate
        Log likelihood that teaching adds on these days, nats in 100 pitches; 90 % interval over days.
    """

    days: int
    pitches: int
    swings: int
    predictions: Mapping[str, Prediction]
    gain: Estimate


@dataclass(frozen=True)
class HittersResult:
    """What a record of swings teaches.

    Attributes
    ----------
    hitter : str or None
        Who was taught, where it is one.
    level : str
        Of the hitters.
    learned : bool
        False: too few swings, so what was known stands.
    rows : dict of str to int
        Rows read, used, left out.
    counts : dict of str to int
        Pitches, swings, misses, days and, where the file tells them, hitters that were learnt from.
    parameters : dict of str to TaughtParameter
        By key.
    held_out : HeldOut or None
        None where there is one day only, or too few swings without every other.
    why : tuple of str
        Plain sentences.
    flagged : tuple of Flagged
        Rows and cells that are not used.
    hitters : str
        The file of taught hitters, TOML.
    """

    hitter: str | None = field(metadata=OPTIONAL)
    level: str
    learned: bool
    rows: Mapping[str, int]
    counts: Mapping[str, int]
    parameters: Mapping[str, TaughtParameter]
    held_out: HeldOut | None = field(metadata=OPTIONAL)
    why: tuple[str, ...]
    flagged: tuple[Flagged, ...]
    hitters: str
