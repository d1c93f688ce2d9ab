"""The verdict of a comparison, and why, in plain words."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from latebreak.service.questions.answer import Estimate, Json
from latebreak.service.questions.chance import ENOUGH, chance_of_lead
from latebreak.service.scenario import Scenario

Array = NDArray[np.float64]

MEASURE = "same_line_separation_ft"
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


def verdict(
    scenario: Scenario,
    fastball: str,
    found: dict[str, dict[str, Estimate]],
    distances: dict[str, Array],
    usable: dict[str, NDArray[np.bool_]] | None,
) -> tuple[Better, tuple[str, ...]]:
    """Say which pitch separates nearest to the plate, how sure that is, and what the late break says.

    Parameters
    ----------
    scenario : Scenario
        What was asked about.
    fastball : str
        Name of the fastball.
    found : dict
        Estimates by pitch and key.
    distances : dict of str to float64 array, shape (draws + 1,)
        Separation distance under the draws, by pitch.
    usable : dict of str to bool array, or None
        Which draws count, by pitch; None where no interval was asked for.

    Returns
    -------
    Better
        The verdict.
    tuple of str
        One to three sentences.
    """
    ranked = sorted(found, key=lambda name: found[name][MEASURE].value)
    speed = scenario.pitch[fastball].speed_mph
    behind = f"behind the {speed:.1f} mph {fastball}"
    leader = ranked[0]
    if len(ranked) == 1:
        only = f"{leader}, the only pitch compared, looks like the fastball {_until(found[leader])} {behind}."
        return Better(leader, MEASURE, None), (only, _late(leader, found[leader]) + ".")
    rival = ranked[1]
    chance, why_not = None, "How sure that is was not asked for."
    if usable is not None:
        both = (usable[leader] & usable[rival])[1:]
        why_not = "How sure that is can't be said: too few draws of what is not known can be thrown."
        if both.sum() >= ENOUGH:
            chance = chance_of_lead(-distances[leader][1:][both], -distances[rival][1:][both])
    looks = f"{leader} looks like the fastball {_until(found[leader])}, {rival} {_until(found[rival])}"
    if chance is None and found[leader][MEASURE].value == found[rival][MEASURE].value:
        better = Better(None, MEASURE, None)
        first = f"No difference {behind}: {looks}."
    elif chance is None:
        better = Better(leader, MEASURE, None)
        first = f"{leader} hides longer {behind}: {looks}. {why_not}"
    elif chance >= SURE_ENOUGH:
        better = Better(leader, MEASURE, chance)
        first = f"{leader} hides longer {behind}: {looks} (chance {chance:.0f} %)."
    else:
        better = Better(None, MEASURE, chance)
        first = f"No difference beyond chance {behind}: {looks} (chance {chance:.0f} % that {leader} hides longer)."
    return better, (first, *_late_sentences(found, leader, rival, better.pitch is not None))


def _until(estimates: dict[str, Estimate]) -> str:
    if estimates["same_line_separation_reached_percent"].value == 0.0:
        return "all the way to the plate"
    return f"until {estimates[MEASURE].value:.1f} ft from the plate"


def _late(name: str, estimates: dict[str, Estimate]) -> str:
    late, share = estimates["late_break_in"].value, estimates["late_break_share_percent"].value
    if not isfinite(late):
        return f"of {name} no throw arrived"
    of_whole = f", {share:.0f} % of its whole break" if isfinite(share) else ""
    return f"{name} still breaks {late:.1f} in after the commit point{of_whole}"


def _late_sentences(found: dict[str, dict[str, Estimate]], leader: str, rival: str, sure: bool) -> tuple[str, str]:
    first, second = (found[name]["late_break_in"].value for name in (leader, rival))
    leads = first - second
    both = f"{_late(leader, found[leader])}; {_late(rival, found[rival])}."
    if not isfinite(leads):
        return both, "Their late breaks can't be compared."
    if f"{first:.1f}" == f"{second:.1f}":  # as they are printed
        return both, "Their late breaks are equal."
    if not sure:
        return both, f"{leader if leads > 0.0 else rival} has the larger late break."
    if leads > 0.0:
        return both, f"So {leader} also has the larger late break."
    return both, f"Here the two measures disagree: {rival} has the larger late break, and {leader} hides longer."
