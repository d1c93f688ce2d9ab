"""The verdict of a comparison: which pitch is ahead in the measure that decides, by how much, and how sure that is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isfinite

from latebreak.service.judging.estimates import ENOUGH, Estimate, Estimator
from latebreak.service.judging.whole_mix import MIX
from latebreak.service.plain import OPTIONAL
from latebreak.service.quantities import QUANTITIES

#: The measure that decides where none is named.
MEASURE = MIX
#: Percent: a smaller chance of the lead is called no difference beyond chance.
SURE_ENOUGH = 80.0


@dataclass(frozen=True)
class Better:
    """Which pitch leads.

    Attributes
    ----------
    pitch : str or None
        Its name; None where its lead is no more than chance, or too small to matter.
    measure : str
        Key of the measure that decides.
    difference : Estimate or None
        The measure of the first less that of the next; None where only one pitch is compared.
    chance_percent : float or None
        Chance that the true mean measure of the first beats the next best's; None where it was not asked for.
    too_few_draws : bool
        Whether there is no chance because too few draws of what is not known can be thrown.
    """

    pitch: str | None
    measure: str
    difference: Estimate | None = field(default=None, metadata=OPTIONAL)
    chance_percent: float | None = field(default=None, metadata=OPTIONAL)
    too_few_draws: bool = field(default=False, metadata=OPTIONAL)

    @property
    def matters(self) -> bool:
        """Whether the difference is large enough to matter to a coach; one of unknown size is not called small."""
        smallest = QUANTITIES[self.measure].matters or 0.0
        return self.difference is not None and not abs(self.difference.value) < smallest


def ranked(found: Mapping[str, Mapping[str, Estimate]], measure: str) -> list[str]:
    """Return the names of pitches, the best in a measure first; one of which nothing is known comes last."""
    sign = -1.0 if QUANTITIES[measure].better == "less" else 1.0

    def merit(name: str) -> float:
        value = found[name][measure].value
        return sign * value if isfinite(value) else float("-inf")

    return sorted(found, key=lambda name: -merit(name))


def verdict(
    found: Mapping[str, Mapping[str, Estimate]], decisive: Mapping[str, Estimator], measure: str = MEASURE
) -> Better:
    """Say which pitch is ahead, by how much, and how sure that is.

    Parameters
    ----------
    found : mapping of str to mapping of str to Estimate
        Of every compared pitch, by key.
    decisive : mapping of str to Estimator
        The measure that decides, of every compared pitch.
    measure : str
        Its key.
    """
    leader, *others = ranked(found, measure)
    if not others:
        return Better(leader, measure)
    pair = decisive[leader].beside(decisive[others[0]])
    less = QUANTITIES[measure].better == "less"
    chance = pair.chance_of_lead(int(less), since=int(not less))
    usable = (pair.usable[0] & pair.usable[1])[1:]
    too_few = pair.members is not None and int(usable.sum()) < ENOUGH
    better = Better(leader, measure, pair.change(0, since=1), chance, too_few)
    sure = chance is None or chance >= SURE_ENOUGH
    return better if better.matters and sure else Better(None, measure, better.difference, chance, too_few)
