"""The verdict of a comparison, and why, in plain words."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from latebreak.service.judging.estimates import Estimate, Estimator
from latebreak.service.questions.answer import Json
from latebreak.service.scenario import Scenario
from latebreak.service.units import Units, said_in

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


def verdict(
    scenario: Scenario,
    fastball: str,
    found: dict[str, dict[str, Estimate]],
    decisive: dict[str, Estimator],
    units: Units = "us",
) -> tuple[Better, tuple[str, ...]]:
    """Say which pitch is missed more, how sure that is, and what speaks for and against it.

    Parameters
    ----------
    scenario : Scenario
        What was asked about.
    fastball : str
        Name of the fastball.
    found : dict of str to dict of str to Estimate
        Of every compared pitch, by key.
    decisive : dict of str to Estimator
        The measure that decides, of every compared pitch.
    units : {"us", "metric"}
        Of the sentences.

    Returns
    -------
    Better
        The verdict.
    tuple of str
        Two or three sentences.
    """
    # a pitch of which no throw arrived comes last
    ranked = sorted(found, key=lambda name: -_number(found[name], MEASURE, -1.0))
    behind = f"behind the {said_in(units, scenario.pitch[fastball].speed_mph, 'mph', 1)} {fastball}"
    leader = ranked[0]
    if len(ranked) == 1:
        only = f"{leader}, the only pitch compared, is missed on {_missed(found[leader])} of swings {behind}."
        return Better(leader, MEASURE, None), (only, _looks(leader, found[leader], units) + ".")
    rival = ranked[1]
    chance, why_not = _chance(decisive[leader], decisive[rival])
    both = f"{_missed(found[leader])} of swings against {_missed(found[rival])} for {rival}"
    if chance is None and found[leader][MEASURE].value == found[rival][MEASURE].value:
        better, first = Better(None, MEASURE, None), f"No difference {behind}: {leader} is missed on {both}."
    elif chance is None:
        better = Better(leader, MEASURE, None)
        first = f"{leader} is missed more {behind}: {both}; {why_not}."
    elif chance >= SURE_ENOUGH:
        better = Better(leader, MEASURE, chance)
        first = f"{leader} is missed more {behind}: {both} (chance {chance:.0f} %)."
    else:
        better = Better(None, MEASURE, chance)
        first = (
            f"No difference beyond chance {behind}: {leader} is missed on {both} "
            f"(chance {chance:.0f} % that {leader} is missed more)."
        )
    second = f"{_looks(leader, found[leader], units)}; {_looks(rival, found[rival], units)}."
    return better, (first, second, *_reason(found, leader, rival, units, sure=better.pitch is not None))


def _chance(leader: Estimator, rival: Estimator) -> tuple[float | None, str]:
    """Chance of the lead, or None and why there is none."""
    if leader.members is None or rival.members is None:
        return None, "how sure that is was not asked for"
    chance = leader.beside(rival).chance_of_lead(0, since=1)
    if chance is None:
        return None, "how sure that is can't be said, too few draws of what is not known can be thrown"
    return chance, ""


def _reason(
    found: dict[str, dict[str, Estimate]], leader: str, rival: str, units: Units, *, sure: bool
) -> tuple[str, ...]:
    """What speaks against the leader, or what makes the difference; nothing where neither shows in the digits."""
    hides = _until(found[leader]) - _until(found[rival])
    late = _digits(found[leader]) - _digits(found[rival])
    against = []
    if hides > 0.0:
        against.append(f"{rival} looks like the fastball longer")
    if late < 0.0:
        against.append(f"{rival} has the larger late break")
    if against and sure:
        surprise = f"The measures disagree: {' and '.join(against)}"
        return (f"{surprise}; {leader} is missed more because {_unusual(found, leader, rival, units)}.",)
    if against or not sure:
        return ()
    return (f"So {leader} is ahead in all three: misses, hiding and late break.",) if hides < 0.0 and late > 0.0 else ()


def _unusual(found: dict[str, dict[str, Estimate]], leader: str, rival: str, units: Units) -> str:
    """Which of the hitter's errors is larger for the leader."""
    # in the digits that are printed
    far = {name: _number(found[name], "arrival_surprise_rms_in", 0.0) for name in (leader, rival)}
    off = {name: round(value, 1) for name, value in far.items()}
    late = {name: round(abs(_number(found[name], "timing_surprise_ms", 0.0)), 1) for name in (leader, rival)}
    if off[leader] > off[rival]:
        both = " against ".join(said_in(units, far[name], "in", 1) for name in (leader, rival))
        return f"its arrival is farther from what the hitter expects ({both})"
    if late[leader] > late[rival]:
        return f"its time is farther from what the hitter expects ({late[leader]:.1f} ms against {late[rival]:.1f} ms)"
    return "its scatter and what the hitter expects of it weigh more"


def _number(estimates: dict[str, Estimate], key: str, otherwise: float) -> float:
    value = estimates[key].value
    return value if isfinite(value) else otherwise


def _missed(estimates: dict[str, Estimate]) -> str:
    value = estimates[MEASURE].value
    return f"{value:.1f} %" if isfinite(value) else "an unknown share"


def _until(estimates: dict[str, Estimate]) -> float:
    """Where it stops looking like the fastball, in the digits that are printed; ft."""
    return round(estimates["same_line_separation_ft"].value, 1)


def _digits(estimates: dict[str, Estimate]) -> float:
    """Late break in the digits that are printed; in."""
    return round(_number(estimates, "late_break_in", 0.0), 1)


def _looks(name: str, estimates: dict[str, Estimate], units: Units) -> str:
    separates = estimates["same_line_separation_reached_percent"].value > 0.0
    until = f"until {said_in(units, estimates['same_line_separation_ft'].value, 'ft', 1)} from the plate"
    looks = f"{name} looks like the fastball {until if separates else 'all the way to the plate'}"
    late, share = estimates["late_break_in"].value, estimates["late_break_share_percent"].value
    if not isfinite(late):
        return f"{looks}, and no throw of it arrived"
    of_whole = f" ({share:.0f} % of its break)" if isfinite(share) else ""
    return f"{looks} and still breaks {said_in(units, late, 'in', 1)} after the commit point{of_whole}"
