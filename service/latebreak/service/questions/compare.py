"""The question which of these pitches is harder to hit behind this fastball, and how sure that is.

Compared pitches are alternatives, each judged alone behind the reference fastball.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from latebreak.service.quantities import Reader
from latebreak.service.questions.answer import Answer, Estimate, Json, dicts
from latebreak.service.questions.compare_words import why_better
from latebreak.service.questions.lineup import Lineup, line_up
from latebreak.service.questions.response import respond
from latebreak.service.questions.samples import Response
from latebreak.service.questions.setting import Progress, Source, one_blas_thread, settle
from latebreak.service.questions.verdict import Better, Judged, verdict
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
    responses : dict of str to Response
        What stands behind the estimates, by name: for differences between pitches. Not part of the JSON.
    """

    fastball: str
    pitches: dict[str, dict[str, Estimate]]
    better: Better
    why: tuple[str, ...]
    responses: dict[str, Response] = field(default_factory=dict, repr=False, compare=False)

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
    with one_blas_thread():
        return judged(line_up(settle(source, seed, throws), "compare", pitches, intervals), progress)


def judged(lineup: Lineup, progress: Progress = lambda share: None) -> Answer[CompareResult]:
    """Compare the pitches of a lineup."""
    facing, names, warnings = lineup.matchup, lineup.names, list(lineup.warnings)
    setting = facing.setting
    scenario = setting.scenario
    found: dict[str, Response] = {}
    for number, name in enumerate(names):
        found[name] = respond(
            facing.contests(name),
            setting.draws,
            progress=lambda share, before=number: progress((before + share) / len(names)),  # type: ignore[misc]
        )
        kept = found[name].kept[0]
        if kept < 0.9 * setting.draws.throws:
            share = 100.0 * (1.0 - kept / setting.draws.throws)
            warnings.append(
                f"pitch.{name}: {share:.0f} % of the throws, or of the fastballs beside them, did not reach the plate "
                "in the air and are left out"
            )
    known = {name: Judged.of(response) for name, response in found.items()}
    better, estimates = verdict(known), {name: one.estimates for name, one in known.items()}
    why = why_better(scenario, facing.fastball, estimates, better, Reader(hand=scenario.pitcher.hand))
    return Answer(
        "compare",
        scenario.title,
        scenario.seed,
        scenario.throws,
        tuple(warnings),
        cautions(scenario.pitcher, proposes_more=False),
        CompareResult(facing.fastball, estimates, better, tuple(map(str, why)), found),
    )
