"""The question which of these pitches is harder to hit behind this fastball, and how sure that is.

Compared pitches are alternatives, each judged alone behind the reference fastball.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from latebreak.service.judging.estimates import Estimate, Estimator
from latebreak.service.judging.lineup import Lineup, line_up
from latebreak.service.judging.measures import measure_pitch
from latebreak.service.judging.setting import Progress, Source, one_blas_thread, settle
from latebreak.service.quantities import Reader
from latebreak.service.questions.answer import Answer, Json, dicts
from latebreak.service.questions.compare_words import why_better
from latebreak.service.questions.verdict import MEASURE, Better, verdict
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
        Two or three plain sentences in US units, of `why_better`.
    judged_among : str
        Among which pitches each compared pitch is judged, with their shares.
    others : dict of str to dict of str to Estimate
        Every other pitch of the mix, the fastball included: by name, then by key.
    estimators : dict of str to dict of str to Estimator
        What stands behind the estimates, by name: for differences between pitches. Not part of the JSON.
    """

    fastball: str
    pitches: dict[str, dict[str, Estimate]]
    better: Better
    why: tuple[str, ...]
    judged_among: str
    others: dict[str, dict[str, Estimate]] = field(default_factory=dict)
    estimators: dict[str, dict[str, Estimator]] = field(default_factory=dict, repr=False, compare=False)

    def to_dict(self) -> Json:
        """Return the JSON object."""
        return {
            "fastball": self.fastball,
            "pitches": {name: dicts(estimates) for name, estimates in self.pitches.items()},
            "better": self.better.to_dict(),
            "why": list(self.why),
            "judged_among": self.judged_among,
            "others": {name: dicts(estimates) for name, estimates in self.others.items()},
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
        Whether to sample what is not known: intervals and the chance of the lead; False is faster.
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
    with one_blas_thread():
        return compare_lineup(line_up(settle(source, seed, throws), "compare", pitches, intervals), progress)


def compare_lineup(lineup: Lineup, progress: Progress = lambda share: None) -> Answer[CompareResult]:
    """Compare the pitches of a lineup, and judge the rest of the mix beside them."""
    names, scenario, throws = lineup.compared, lineup.setting.scenario, lineup.setting.draws.throws
    every = [*names, *(name for name in scenario.pitch if name not in names)]
    found, warnings = {}, list(lineup.warnings)
    for number, name in enumerate(every):
        found[name] = measure_pitch(
            lineup.judge(name),
            lineup.setting.draws,
            progress=lambda share, before=number: progress((before + share) / len(every)),  # type: ignore[misc]
        )
        kept = found[name]["late_break_in"].throws[0]
        if kept < 0.9 * throws:
            warnings.append(
                f"pitch.{name}: {100.0 * (1.0 - kept / throws):.0f} % of the throws, or of the fastballs beside them, "
                "did not reach the plate in the air; what is told of flights leaves them out"
            )
    estimates = {name: {key: one.estimate() for key, one in measures.items()} for name, measures in found.items()}
    compared = {name: estimates[name] for name in names}
    better = verdict(compared, {name: found[name][MEASURE] for name in names})
    why = why_better(scenario, lineup.fastball, compared, better, Reader(hand=scenario.pitcher.hand))
    return Answer(
        "compare",
        scenario.title,
        scenario.seed,
        scenario.throws,
        tuple(warnings),
        cautions(scenario.pitcher, proposes_more=False),
        CompareResult(
            lineup.fastball,
            compared,
            better,
            tuple(map(str, why)),
            lineup.judged_among(names[0]),
            {name: one for name, one in estimates.items() if name not in names},
            found,
        ),
    )
