"""Where the leak is: which lever of a pitch is short of a good one, and how much each costs in a measure.

Of every lever that is short, the move to the good value is tried alone. It is a leak if that gives a fifth or more of
what all such moves give together, beyond sampling error and beyond what is not known: the whole 90 % interval of the
gain is a gain. A move that would cost gives nothing, so it does not count against the others.

A good curve is 90 % efficient and a professional's usual one 60 to 80 %, so a league-mean pitch is short of a good one
there and nowhere else. That is no leak: a leak is what lags behind the rest of the pitch. So where speed and spin rate
are those of the league's mean of its kind, within a step of the lever, an efficiency that is usual there is not
counted. At lower levels it is, because efficiency is skill, not strength (chosen). `levers` still says what a cleaner
axis gives.
"""

from __future__ import annotations

from dataclasses import dataclass

from latebreak.engine.units import MPH, RPM
from latebreak.perception.kinds import KINDS, GoodThrow, good_throw, spin_parts
from latebreak.service.quantities import CLOCK_SPREAD, QUANTITIES
from latebreak.service.questions.answer import Estimate
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.scenario import Scenario, reference_fastball
from latebreak.service.scenario.level_defaults import default_spread
from latebreak.service.scenario.physical import physical_pitch

#: The measure in which leaks cost where none is named.
MEASURE = "miss_chance_percent"
#: How a leak is called, by its lever.
CALLED = {key: QUANTITIES[key].name for key in ("speed_mph", "spin_rpm")} | {
    "efficiency_percent": "dirty axis",
    CLOCK_SPREAD: "wandering axis",
}
#: Scatter of a good axis, as a share of the usual one of the level and role (chosen).
_GOOD_SCATTER = 0.8
#: The share of all the moves together that makes a leak (a fifth), and standard errors that a gain must clear (chosen).
_SHARE, _CLEAR = 0.2, 2.0


@dataclass(frozen=True)
class Leak:
    """A lever that is short of a good pitch, and costs.

    Attributes
    ----------
    called : str
        "speed", "spin rate", "dirty axis" or "wandering axis".
    value, good_value : float
        Where the lever stands, and where a good pitch of the level does; in the unit of the lever's key.
    gain : Estimate
        Change of the measure for the better, in points or its unit, if this lever alone were good.
    share_percent : float
        Of what all such moves give together.
    measure : str
        Key of the measure in which it costs.
    """

    called: str
    value: float
    good_value: float
    gain: Estimate
    share_percent: float
    measure: str = MEASURE


def good_values(scenario: Scenario, name: str) -> dict[str, float]:
    """Return what a good pitch of the pitcher's level and of this kind has, by lever."""
    good, role = _good(scenario, name), scenario.pitch[name].role
    return {
        "speed_mph": good.speed / MPH,
        "spin_rpm": good.rate / RPM,
        "efficiency_percent": 100.0 * good.efficiency,
        CLOCK_SPREAD: _GOOD_SCATTER * default_spread(scenario.pitcher.level, role)["break_clock_deg"],
    }


def _good(scenario: Scenario, name: str) -> GoodThrow:
    pitch, fastball = physical_pitch(scenario, scenario.pitch[name]), reference_fastball(scenario)
    own = spin_parts(pitch.spin_rate, pitch.break_clock, pitch.gyro)
    beside = None if fastball is None else scenario.pitch[fastball].speed_mph * MPH
    return good_throw(scenario.pitcher.level, scenario.pitcher.hand, own, pitch.speed, beside)


def _is_league_mean(scenario: Scenario, name: str) -> bool:
    """Whether speed and spin rate are a professional's usual ones, within a step, and the efficiency is usual there."""
    entry, hand = scenario.pitch[name], scenario.pitcher.hand
    kind = KINDS[_good(scenario, name).kind]
    usual = {"speed_mph": kind.speed, "spin_rpm": kind.rate}
    if any(abs(BY_KEY[key].stands_at(entry, hand) - value) > BY_KEY[key].step for key, value in usual.items()):
        return False
    return BY_KEY["efficiency_percent"].stands_at(entry, hand) >= kind.least_efficiency


def short_levers(scenario: Scenario, name: str) -> dict[str, tuple[float, float]]:
    """Return the levers that are short of a good pitch: where each stands, and where a good one does."""
    entry, hand = scenario.pitch[name], scenario.pitcher.hand
    result = {}
    for key, good in good_values(scenario, name).items():
        now = BY_KEY[key].stands_at(entry, hand)
        if now > good if key == CLOCK_SPREAD else now < good:
            result[key] = (now, good)
    if _is_league_mean(scenario, name):
        result.pop("efficiency_percent", None)
    return result


def leaks_among(
    short: dict[str, tuple[float, float]], gains: dict[str, Estimate], measure: str = MEASURE
) -> dict[str, Leak]:
    """Pick the leaks, the largest first, from what each move alone gives; one that costs gives nothing."""
    together = sum(max(gain.value, 0.0) for gain in gains.values())
    found = {
        key: Leak(CALLED[key], *short[key], gain, 100.0 * (gain.value / together), measure)
        for key, gain in gains.items()
        if together > 0.0 and gain.value >= _SHARE * together and _is_clear(gain)
    }
    return dict(sorted(found.items(), key=lambda item: -item[1].gain.value))


def _is_clear(gain: Estimate) -> bool:
    """Whether a gain is one beyond sampling error, and in its whole interval where there is one."""
    return gain.value > _CLEAR * gain.sampling_error and (gain.low is None or gain.low > 0.0)


def for_the_better(change: Estimate, measure: str) -> Estimate:
    """Return a change of a measure, positive where it is good for the pitcher."""
    if QUANTITIES[measure].better != "less":
        return change
    low, high = (None if end is None else -end for end in (change.high, change.low))
    return Estimate(-change.value, change.sampling_error, low, high)
