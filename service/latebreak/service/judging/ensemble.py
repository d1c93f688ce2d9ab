"""What is not known, as an ensemble of joint samples of flight coefficients, hitter and measured means.

Every member asks the whole question again; the first is the scenario as it stands. Members are common to all pitches of
a question, and what is a pitch's own in them depends on the seed and its name alone, so that a verdict does not depend
on how many pitches a file lists.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.bundle import Bundle
from latebreak.engine.pitch.aim import MeanPitches, aimed, side_by_side
from latebreak.engine.pitch.uncertainty import BallDraws, MeanErrors, draw_ball, uncertain
from latebreak.service.judging.estimates import MEMBERS
from latebreak.service.judging.hitter import Hitter, Parameters
from latebreak.service.judging.setting import Setting, random_stream
from latebreak.service.scenario.physical import in_lever_order

#: Largest error of a spread, in spreads (chosen: beyond it the spread as good as isn't known, and draws stay finite).
_LEAST_KNOWN = 1e3


@dataclass(frozen=True, eq=False)
class Ensemble:
    """Joint samples of what is not known: column 0 is the scenario's own values, then `MEMBERS` samples.

    Attributes
    ----------
    ball : BallDraws
        What is common to all pitches.
    pitches : dict of str to MeanPitches
        Aimed mean pitches by name, MEMBERS + 1 columns.
    parameters : Parameters
        Of the hitter, MEMBERS + 1 columns.
    on_target : dict of str to bool array, shape (MEMBERS + 1,)
        Whether a pitch can be thrown to its target in each member, by name.
    """

    ball: BallDraws
    pitches: dict[str, MeanPitches]
    parameters: Parameters
    on_target: dict[str, NDArray[np.bool_]]


def sample_ensemble(setting: Setting, bundles: dict[str, Bundle], hitter: Hitter) -> Ensemble:
    """Sample what is not known about these pitches and this hitter."""
    seed = setting.scenario.seed
    ball = draw_ball(MEMBERS, random_stream(seed, "ball"))
    pitches, on_target = {}, {}
    for name, bundle in bundles.items():
        pitches[name], on_target[name] = pitch_members(setting, name, bundle, ball)
    return Ensemble(ball, pitches, hitter.members(MEMBERS, seed), on_target)


def pitch_members(
    setting: Setting, name: str, bundle: Bundle, ball: BallDraws
) -> tuple[MeanPitches, NDArray[np.bool_]]:
    """Put versions of a pitch under the ensemble, the same samples for each.

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
        Aimed, v (MEMBERS + 1) columns: all members of the first version, then of the second, ...
    on_target : bool array, shape (v (MEMBERS + 1),)
        Whether each can be thrown to its target.
    """
    entry = setting.scenario.pitch[name]
    errors, spread = entry.mean_error, in_lever_order(entry.spread)
    mean_errors = MeanErrors(
        in_lever_order(errors),
        errors.drag_coefficient,
        errors.lift_scale,
        errors.seam_force or 0.0,
        _relative(in_lever_order(entry.spread_error), spread),
    )
    versions = bundle.mean.levers.shape[1]
    samples = [
        uncertain(
            bundle.mean.columns(np.array([version])),
            mean_errors,
            setting.conditions,
            ball,
            random_stream(setting.scenario.seed, "pitch", name),
        )
        for version in range(versions)
    ]
    mean, on_target = aimed(side_by_side(samples), bundle.flight)
    # a member that can't be thrown does not count; the pitch itself in its place keeps every flight ordinary
    own = np.repeat(np.arange(versions) * (MEMBERS + 1), MEMBERS + 1)
    return mean.columns(np.where(on_target, np.arange(on_target.size), own)), on_target


def _relative(errors: NDArray[np.float64], spread: NDArray[np.float64]) -> NDArray[np.float64]:
    """Errors in units of their spread; 0 where there is no spread to be in error."""
    known = np.minimum(errors, _LEAST_KNOWN * spread)  # first, so that no spread is too small to divide by
    return np.divide(known, spread, out=np.zeros_like(spread), where=spread > 0.0)
