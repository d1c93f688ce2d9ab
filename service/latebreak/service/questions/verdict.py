"""The verdict of a comparison: which pitch is missed more, and how sure that is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite

from latebreak.service.judging.estimates import Estimate, Estimator
from latebreak.service.questions.answer import Json

MEASURE = "miss_chance_percent"
#: Percent: a smaller chance of the lead is called no difference beyond chance.
SURE_ENOUGH = 80.0


@dataclass(frozen=True)
class Better:
    """Which pitch leads.

    Attributes
    ----------
    pitch : str or None
        Its name; None where its lead is no more than chance.
    measure : str
        Key of the measure that decides.
    chance_percent : float or None
        Chance that the true mean measure of the leader beats the next best's; None where it was not asked for.
    """

    pitch: str | None
    measure: str
    chance_percent: float | None

    def to_dict(self) -> Json:
        """Return the JSON object; without an interval `chance_percent` is absent."""
        chance = {} if self.chance_percent is None else {"chance_percent": self.chance_percent}
        return {"pitch": self.pitch, "measure": self.measure, **chance}


def ranked(found: Mapping[str, Mapping[str, Estimate]]) -> list[str]:
    """Return the names of pitches, the one that is missed most first; one of which no throw arrived comes last."""

    def missed(name: str) -> float:
        value = found[name][MEASURE].value
        return value if isfinite(value) else -1.0

    return sorted(found, key=lambda name: -missed(name))


def verdict(found: Mapping[str, Mapping[str, Estimate]], decisive: Mapping[str, Estimator]) -> Better:
    """Say which pitch is missed more, and how sure that is.

    Parameters
    ----------
    found : mapping of str to mapping of str to Estimate
        Of every compared pitch, by key.
    decisive : mapping of str to Estimator
        The measure that decides, of every compared pitch.
    """
    leader, *others = ranked(found)
    if not others:
        return Better(leader, MEASURE, None)
    # None where it was not asked for, or too few members of the ensemble can be thrown
    chance = decisive[leader].beside(decisive[others[0]]).chance_of_lead(0, since=1)
    differ = found[leader][MEASURE].value != found[others[0]][MEASURE].value
    leads = differ if chance is None else chance >= SURE_ENOUGH
    return Better(leader if leads else None, MEASURE, chance)
