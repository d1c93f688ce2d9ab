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
    too_few_draws : bool
        Whether there is no chance because too few draws of what is not known can be thrown.
    """

    pitch: str | None
    measure: str
    chance_percent: float | None
    too_few_draws: bool = False

    def to_dict(self) -> Json:
        """Return the JSON object; without an interval `chance_percent` is absent; `too_few_draws` only if so."""
        chance = {} if self.chance_percent is None else {"chance_percent": self.chance_percent}
        few = {"too_few_draws": True} if self.too_few_draws else {}
        return {"pitch": self.pitch, "measure": self.measure, **chance, **few}


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
    chance, too_few = _chance(decisive[leader], decisive[others[0]])
    differ = found[leader][MEASURE].value != found[others[0]][MEASURE].value
    leads = differ if chance is None else chance >= SURE_ENOUGH
    return Better(leader if leads else None, MEASURE, chance, too_few)


def _chance(leader: Estimator, rival: Estimator) -> tuple[float | None, bool]:
    """Chance of the lead, or None; and whether that is for want of draws that can be thrown."""
    if leader.members is None or rival.members is None:
        return None, False
    chance = leader.beside(rival).chance_of_lead(0, since=1)
    return chance, chance is None
