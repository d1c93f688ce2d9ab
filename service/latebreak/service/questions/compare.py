"""The question which of these pitches is harder to hit behind this fastball, and how sure that is.

Compared pitches are alternatives, each judged alone behind the reference fastball.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from threadpoolctl import threadpool_limits

from latebreak.engine.bundle import Bundle
from latebreak.engine.errors import Fault, InputError
from latebreak.engine.kernel import Y
from latebreak.engine.outcome import has_arrived, outcomes
from latebreak.engine.units import FOOT
from latebreak.perception.registry import DEFAULT, hitter_model
from latebreak.service.questions.answer import Answer, Estimate, Json, dicts
from latebreak.service.questions.chance import DRAWS, ENOUGH, Unknowns, draw_unknowns
from latebreak.service.questions.facing import Facing, hitter_of, mix_for
from latebreak.service.questions.moments import event_estimates, separation_estimates
from latebreak.service.questions.setting import Progress, Setting, Source, settle
from latebreak.service.questions.thrown import Contest, Judged, judge_throws
from latebreak.service.questions.verdict import Better, verdict
from latebreak.service.scenario import Scenario, reference_fastball
from latebreak.service.scenario.cautions import cautions


@dataclass(frozen=True)
class CompareResult:
    """Estimates of every compared pitch by key, and which is better.

    Attributes
    ----------
    fastball : str
        The fastball that the pitches are judged behind.
    pitches : dict of str to dict of str to Estimate
        By name, then by key; the unit is in the key.
    better : Better
        The leading pitch, None where it leads by no more than chance.
    why : tuple of str
        Two or three plain sentences.
    """

    fastball: str
    pitches: dict[str, dict[str, Estimate]]
    better: Better
    why: tuple[str, ...]

    def to_dict(self) -> Json:
        """Return the JSON object."""
        return {
            "fastball": self.fastball,
            "pitches": {name: dicts(estimates) for name, estimates in self.pitches.items()},
            "better": self.better.to_dict(),
            "why": " ".join(self.why),
        }


def compare(
    source: Source,
    *,
    pitches: Sequence[str] | None = None,
    intervals: bool = True,
    seed: int | None = None,
    throws: int | None = None,
    progress: Progress = lambda share: None,
) -> Answer[CompareResult]:
    """Compare pitches behind the reference fastball.

    Parameters
    ----------
    source : Scenario, Loaded, str or Path
        A scenario, or the path or ready name of one.
    pitches : sequence of str, optional
        Names of the pitches to compare; default: all that are no fastballs.
    intervals : bool, optional
        Whether to draw what is not known: intervals and the chance of the lead; False is faster.
    seed, throws : int, optional
        In place of the scenario's own.
    progress : callable, optional
        Told the share of the work that is done.

    Returns
    -------
    Answer of CompareResult
        Estimates are those of a model.

    Raises
    ------
    InputError
        If the scenario or a name is at fault, or there is no fastball.
    ScenarioFileError
        If there is no such scenario.
    """
    # The matrices are many and small: threads inside BLAS would only wait for each other.
    with threadpool_limits(1, "blas"):
        return _compare(settle(source, seed, throws), pitches, intervals, progress)


def _compare(
    setting: Setting, pitches: Sequence[str] | None, intervals: bool, progress: Progress
) -> Answer[CompareResult]:
    scenario = setting.scenario
    fastball, names = _who(scenario, pitches, setting.source)
    bundles = setting.bundles(list(scenario.pitch))
    _check_arrivals(bundles, setting.source)
    hitter, model = hitter_of(scenario), hitter_model(scenario.hitter.model or DEFAULT)
    unknowns = draw_unknowns(setting, bundles, hitter) if intervals else None
    means = {name: bundle.mean for name, bundle in bundles.items()}
    facing = Facing(setting, hitter, model, bundles, means, hitter.traits)
    under_draws = None if unknowns is None else replace(facing, pitches=unknowns.pitches, traits=unknowns.traits)

    judged: dict[str, Judged] = {}
    warnings = [*setting.warnings, *setting.fit_warnings(bundles)]
    if unknowns is not None:
        warnings += _lost_draws(unknowns)
    for number, name in enumerate(names):
        mix = mix_for(scenario, fastball, names, name)
        contest = Contest(name, fastball, facing, facing.ready(mix))
        usable, drawn = np.ones(1, dtype=bool), None
        if unknowns is not None and under_draws is not None:
            usable = unknowns.usable(*mix.types)
            drawn = Contest(name, fastball, under_draws, under_draws.ready(mix))
        thrown = judge_throws(
            contest,
            drawn,
            lambda share, before=number: progress((before + share) / len(names)),  # type: ignore[misc]
            usable=usable,
        )
        separation = separation_estimates(contest, drawn, usable)
        events = event_estimates(contest, drawn, usable)
        judged[name] = replace(thrown, estimates={**separation, **events, **thrown.estimates})
        if thrown.kept < 0.9 * setting.draws.throws:
            share = 100.0 * (1.0 - thrown.kept / setting.draws.throws)
            warnings.append(
                f"pitch.{name}: {share:.0f} % of the throws, or of the fastballs beside them, did not reach the plate "
                "in the air and are left out"
            )
    better, why = verdict(scenario, fastball, judged)
    found = {name: one.estimates for name, one in judged.items()}
    return Answer(
        "compare",
        scenario.title,
        scenario.seed,
        scenario.throws,
        tuple(warnings),
        cautions(scenario.pitcher, proposes_more=False),
        CompareResult(fastball, found, better, why),
    )


def _lost_draws(unknowns: Unknowns) -> list[str]:
    """Say where draws of what is not known can't be thrown."""
    result = []
    for name, reached in unknowns.reached.items():
        lost = int((~reached).sum())
        if lost:
            after = ", so neither it nor a pitch judged beside it gets an interval" if DRAWS - lost < ENOUGH else ""
            result.append(
                f"pitch.{name}: in {lost} of {DRAWS} draws of what is not known it can't reach its target{after}"
            )
    return result


def _who(scenario: Scenario, asked: Sequence[str] | None, source: str) -> tuple[str, list[str]]:
    """Names of the reference fastball and of the pitches to compare."""
    fastball = reference_fastball(scenario)
    if fastball is None:
        remedy = 'give the fastball role = "fastball"'
        raise InputError([Fault("pitch.*.role", "compare needs a fastball, and no pitch is one", "", remedy)], source)
    others = [name for name in scenario.pitch if name != fastball]
    if asked is None:
        names = [name for name in others if scenario.pitch[name].role != "fastball"] or others
        if not names:
            problem = f"there is no pitch to compare behind {fastball!r}"
            raise InputError([Fault("pitch", problem, "", "add a [pitch.NAME] section")], source)
        return fastball, names
    names = list(dict.fromkeys(asked))
    allowed = "any of " + ", ".join(others)
    faults = []
    for name in names:
        if name == fastball:
            faults.append(Fault("pitches", f"{name!r} is the fastball that the others are judged behind", allowed))
        elif name not in others:
            faults.append(Fault("pitches", f"there is no pitch {name!r} to compare", allowed))
    if not names:
        faults = [Fault("pitches", "no name is given", allowed)]
    if faults:
        raise InputError(faults, source)
    return fastball, names


def _check_arrivals(bundles: dict[str, Bundle], source: str) -> None:
    """Refuse mean pitches that never arrive: nothing could be said about them."""
    faults = []
    for name, bundle in bundles.items():
        releases = bundle.mean.releases()
        code = outcomes(releases, bundle.flight.arrivals(releases), bundle.flight.constants.radius)
        if not has_arrived(code).all():
            faults.append(
                Fault(
                    f"pitch.{name}",
                    f"the mean pitch does not reach the plate, {releases[Y, 0] / FOOT:.1f} ft away, in the air",
                    "a mean pitch that arrives",
                    "mend its launch angles, speed_mph or target",
                )
            )
    if faults:
        raise InputError(faults, source)
