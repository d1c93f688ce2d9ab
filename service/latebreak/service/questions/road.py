"""A road to a goal: how far a lever must be moved, or why that does not do."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from latebreak.service.plain import OPTIONAL
from latebreak.service.questions.answer import Estimate

#: Why a goal is out of reach: the pitch can't be thrown so or has no such measure; the measure jumps past the goal;
#: it comes nearest somewhere within the bounds; or it gets there in less than half of the draws of what is not known.
Trouble = Literal["", "none", "jump", "nearest", "unsure"]


@dataclass(frozen=True)
class Road:
    """What one lever can do.

    Attributes
    ----------
    change : Estimate
        The change that reaches the goal; where none does, the one that comes nearest, without an interval.
    new_value : float
        Where the lever then stands, in the unit of its key.
    reachable : bool
        Whether the goal is reached within possible and plausible bounds.
    reason : str
        Why not, in US units, of `why_not`; or what to mind.
    measure_there : float
        Value of the measure at the new value.
    lowest, highest : float
        Bounds within which the lever is searched, in the unit of its key.
    trouble : {"", "none", "jump", "nearest", "unsure"}
        Kind of the reason why the goal is out of reach; empty where it is reached.
    arrives_percent : float or None
        In how many of the draws of what is not known the goal is reached within the bounds; None without such draws.
    """

    change: Estimate
    new_value: float
    reachable: bool
    reason: str
    measure_there: float
    lowest: float
    highest: float
    trouble: Trouble = ""
    arrives_percent: float | None = field(default=None, metadata=OPTIONAL)
