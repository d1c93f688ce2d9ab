"""What is not known, drawn jointly: the spread of an estimate over flight coefficients, hitter and measured means.

Every draw asks the whole question again. The draws are common to all pitches of a question, and the own draws of a
pitch depend on the seed and its name alone, so that a verdict does not depend on how many pitches a file lists.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.aim import MeanPitches, aimed, side_by_side
from latebreak.engine.bundle import Bundle
from latebreak.engine.uncertainty import BallDraws, MeanErrors, draw_ball, uncertain
from latebreak.perception.hitter import Hitter, Traits, uncertain_traits
from latebreak.service.questions.answer import Estimate
from latebreak.service.questions.setting import Setting
from latebreak.service.scenario.physical import in_lever_order

Array = NDArray[np.float64]

#: Sets of parameters behind an interval (chosen: the 5 % and 95 % points then rest on three draws each).
DRAWS = 64
#: Fewer usable draws than this tell too little: then there is no interval.
ENOUGH = DRAWS // 2
#: 90 % interval.
_LOW, _HIGH = 0.05, 0.95
_NORMAL_90 = 1.6448536269514722  # 95 % point of the standard normal distribution


@dataclass(frozen=True, eq=False)
class Unknowns:
    """Joint draws of what is not known: column 0 is the scenario's own values, then `DRAWS` draws.

    Attributes
    ----------
    ball : BallDraws
        What is common to all pitches.
    pitches : dict of str to MeanPitches
        Aimed mean pitches by name, DRAWS + 1 columns.
    traits : Traits
        DRAWS + 1 columns.
    reached : dict of str to bool array, shape (DRAWS + 1,)
        Whether a pitch reaches its target in each draw, by name.
    """

    ball: BallDraws
    pitches: dict[str, MeanPitches]
    traits: Traits
    reached: dict[str, NDArray[np.bool_]]

    @property
    def draws(self) -> int:
        """Columns of every pitch, the scenario's own values included."""
        return int(self.traits.lapse.size)

    def usable(self, *names: str) -> NDArray[np.bool_]:
        """Draws, shape (DRAWS + 1,), in which all these pitches reach their targets."""
        every: NDArray[np.bool_] = np.logical_and.reduce([self.reached[name] for name in names])
        return every


def draw_unknowns(setting: Setting, bundles: dict[str, Bundle], hitter: Hitter) -> Unknowns:
    """Draw what is not known about these pitches and this hitter."""
    seed = setting.scenario.seed
    ball = draw_ball(DRAWS, generator(seed, "ball"))
    traits = uncertain_traits(hitter, DRAWS, generator(seed, "hitter"))
    drawn = {name: drawn_pitch(setting, name, bundle, ball) for name, bundle in bundles.items()}
    pitches, reached = ({name: pair[k] for name, pair in drawn.items()} for k in range(2))
    return Unknowns(ball, pitches, traits, reached)  # type: ignore[arg-type]


def drawn_pitch(setting: Setting, name: str, bundle: Bundle, ball: BallDraws) -> tuple[MeanPitches, NDArray[np.bool_]]:
    """Put versions of a pitch under draws of what is not known, the same draws for each.

    Parameters
    ----------
    setting : Setting
        Scenario and conditions.
    name : str
        Of the pitch: whose standard errors count.
    bundle : Bundle
        v columns.
    ball : BallDraws
        What is common to all pitches.

    Returns
    -------
    pitches : MeanPitches
        Aimed, v (DRAWS + 1) columns: all draws of the first version, then of the second, ...
    reached : bool array, shape (v (DRAWS + 1),)
        Whether each reaches its target.
    """
    entry = setting.scenario.pitch[name]
    errors, spread = entry.mean_error, in_lever_order(entry.spread)
    known = MeanErrors(
        in_lever_order(errors),
        errors.drag_coefficient,
        errors.lift_scale,
        errors.seam_force or 0.0,
        np.divide(in_lever_order(entry.spread_error), spread, out=np.zeros_like(spread), where=spread > 0.0),
    )
    versions = bundle.mean.levers.shape[1]
    under = [
        uncertain(
            bundle.mean.columns(np.array([version])),
            known,
            setting.conditions,
            ball,
            generator(setting.scenario.seed, "pitch", name),
        )
        for version in range(versions)
    ]
    mean, reached = aimed(side_by_side(under), bundle.flight)
    # a draw that can't be thrown does not count; the pitch itself in its place keeps every flight ordinary
    draws = reached.size // versions
    own = np.repeat(np.arange(versions) * draws, draws)
    return mean.columns(np.where(reached, np.arange(reached.size), own)), reached


def estimate(
    value: float,
    sampling_error: float,
    over_draws: Array | None,
    usable: NDArray[np.bool_],
    *,
    least: float = 0.0,
    most: float = np.inf,
) -> Estimate:
    """Return an estimate, with its interval where there is a value, enough draws are usable and its own is one.

    Parameters
    ----------
    value, sampling_error : float
        From all throws.
    over_draws : float64 array, shape (m + 1,), or None
        The same under the draws; None where no interval was asked for.
    usable : bool array, shape (m + 1,)
        Which draws count.
    least, most : float
        The smallest and the largest value there can be.
    """
    value, sampling_error = float(value), float(sampling_error)
    if over_draws is None or not isfinite(value):
        return Estimate(value, sampling_error)
    usable = usable & np.isfinite(over_draws)
    if not usable[0] or usable[1:].sum() < ENOUGH:
        return Estimate(value, sampling_error)
    low, high = interval(value, over_draws[usable], sampling_error, least)
    return Estimate(value, sampling_error, low, min(high, most))


def interval(value: float, over_draws: Array, sampling_error: float = 0.0, least: float = 0.0) -> tuple[float, float]:
    """Return the 90 % interval of an estimate.

    Parameters
    ----------
    value : float
        The estimate, from all throws.
    over_draws : float64 array, shape (m + 1,)
        The same under the draws, the scenario's own values first; from fewer throws, so only its shifts are used.
    sampling_error : float
        Of the value; widens the interval in quadrature.
    least : float
        The smallest value there can be.
    """
    shift = over_draws[1:] - over_draws[0]
    low, high = np.quantile(shift, [_LOW, _HIGH])
    sampling = _NORMAL_90 * sampling_error if np.isfinite(sampling_error) else 0.0
    below, above = np.hypot(min(low, 0.0), sampling), np.hypot(max(high, 0.0), sampling)
    return max(value - float(below), least), value + float(above)


def chance_of_lead(leader: Array, rival: Array) -> float:
    """Chance (percent) that the leader's true value is above the rival's, from joint draws of shape (m,) each.

    Ties count half; one draw is added on either side's half (Jeffreys), so no finite number of draws gives 0 or 100 %.
    """
    wins = float((leader > rival).sum() + 0.5 * (leader == rival).sum())
    return 100.0 * (wins + 0.5) / (leader.size + 1.0)


def generator(seed: int, *words: str) -> np.random.Generator:
    """Return a source of draws of its own for a seed and a purpose."""
    return np.random.Generator(np.random.Philox(np.random.SeedSequence([seed, *"/".join(words).encode()])))
