"""The page of a staff: a pitcher a row, the better pitch, its numbers, the shortest road, and the care of the arm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import nan
from pathlib import Path

from markupsafe import Markup

from latebreak.service.judging.estimates import Estimate
from latebreak.service.judging.whole_mix import MIX
from latebreak.service.plain import built
from latebreak.service.quantities import HIDES, QUANTITIES, Reader, Said, Sentence, Units, chance_in_words
from latebreak.service.questions import CompareResult
from latebreak.service.questions.answer import Json, installed_version
from latebreak.service.questions.goal import usual_goal
from latebreak.service.questions.leaks import MEASURE
from latebreak.service.questions.road import Road
from latebreak.service.questions.verdict import Better, ranked
from latebreak.service.report.filling import fill, style_of
from latebreak.service.report.material import with_names
from latebreak.service.report.roads import Drawn, drawn
from latebreak.service.report.saving import FIRST_LINE, save
from latebreak.service.report.sealed import policy
from latebreak.service.report.words import INTERVALS, LIMITS, NO_INTERVALS, verdict, who_hits, who_pitches
from latebreak.service.scenario import Loaded, Scenario
from latebreak.service.scenario.cautions import BUILD_UP, cautions
from latebreak.service.sweep.asking import ANSWERED, Outcome
from latebreak.service.sweep.planned import Plan
from latebreak.service.sweep.running import Page
from latebreak.service.tables.compare import say

#: The numbers of a pitch, with their heads.
SHOWN = {
    MIX: "strikes nobody touches, of 100 pitches of the mix",
    MEASURE: "misses, of 100 swings",
    f"{HIDES}_ft": "leaves the fastball's tunnel",
    "late_break_in": "late break, after he must decide",
}


@dataclass(frozen=True)
class StaffRow:
    """A pitcher on the page.

    Attributes
    ----------
    source : str
        File or ready name of the scenario.
    title, pitcher, hitter : str
        Its title, who pitches and who hits; empty where it can't be read.
    leads : str
        Name of the pitch that leads, whose numbers these are.
    is_choice, is_better : bool
        Whether it was compared with others, and whether it is better than they beyond chance.
    sure : str
        How sure that is, in a few words.
    numbers : dict of str to Said
        By head, of the leading pitch.
    verdict : Sentence or None
        Which pitch is better, and how sure that is.
    road : Drawn or None
        The shortest road to a better mix.
    cautions : list of str
        What to mind with this arm.
    fault : str
        Why there is no answer.
    merit : float
        By which the rows are sorted: what the leading pitch makes of the mix.
    """

    source: str
    title: str = ""
    pitcher: str = ""
    hitter: str = ""
    leads: str = ""
    is_choice: bool = False
    is_better: bool = False
    sure: str = ""
    numbers: dict[str, Said] = field(default_factory=dict)
    verdict: Sentence | None = None
    road: Drawn | None = None
    cautions: list[str] = field(default_factory=list)
    fault: str = ""
    merit: float = nan


def page_of(path: Path, plan: Plan, units: Units = "us") -> Page:
    """Return the page of a sweep over several scenarios, to be written when all are asked.

    Parameters
    ----------
    path : Path
        Where it is to stand.
    plan : Plan
        The sweep; one what-if a scenario.
    units : {"us", "metric"}
        Of every number on it.
    """

    def write(outcomes: list[Outcome]) -> None:
        save(path, render_staff(plan, outcomes, units))

    return Page(path, write)


def render_staff(plan: Plan, outcomes: Sequence[Outcome], units: Units = "us") -> str:
    """Make the page.

    Parameters
    ----------
    plan : Plan
        The sweep.
    outcomes : sequence of Outcome
        What became of each scenario, in the order of the what-ifs.
    units : {"us", "metric"}
        Of every number on it.

    Returns
    -------
    str
        HTML, whole in itself.
    """
    names = [str(what_if["scenario"]) for what_if in plan.what_ifs]
    rows = [_row(name, plan.loaded.get(name), one, units) for name, one in zip(names, outcomes, strict=True)]
    answered = sorted((row for row in rows if not row.fault), key=lambda row: -row.merit)
    of_all = [BUILD_UP] if any(BUILD_UP in row.cautions for row in answered) else []
    style = style_of("page.css", "staff.css")
    throws, seeds = ({*plan.draws(key)} for key in ("throws", "seed"))
    return fill(
        "staff.html.j2",
        first_line=Markup(FIRST_LINE),
        version=installed_version(),
        rows=[*answered, *(row for row in rows if row.fault)],
        heads=list(SHOWN.values()),
        choices=sum(row.is_choice for row in answered),
        sure=sum(row.is_better for row in answered),
        answered=len(answered),
        goal=f"{usual_goal(MIX).removeprefix('+')} more of these strikes, by this alone",
        cautions=of_all,
        intervals=INTERVALS if plan.ask.intervals else NO_INTERVALS,
        limits=LIMITS,
        made=f"Made by latebreak {installed_version()}: {_listed(throws)} simulated throws of each pitch, "
        f"seed {_listed(seeds)}.",
        policy=policy(style, "", style_attributes=False),
        style=Markup(style),
    )


def _row(source: str, loaded: Loaded | None, outcome: Outcome, units: Units) -> StaffRow:
    if loaded is None:
        return StaffRow(source, fault=outcome.status)
    scenario = with_names(loaded.scenario)
    reader = Reader(units, scenario.pitcher.hand)
    row = StaffRow(source, scenario.title, who_pitches(scenario, reader), who_hits(scenario))
    if outcome.status != ANSWERED:
        return replace(row, fault=outcome.status)
    found = {pitch: _estimates(numbers) for pitch, numbers in outcome.pitches.items()}
    compared, leader = _compared(found, outcome), ranked(found, MIX)[0]
    road = None if outcome.road is None else _road(scenario, outcome.road, reader)
    return replace(
        row,
        leads=scenario.called(leader),
        is_choice=len(found) > 1,
        is_better=len(found) > 1 and compared.better.pitch is not None,
        sure=_sure(compared.better) if len(found) > 1 else "the only one compared",
        numbers={head: say(QUANTITIES[key], found[leader], reader) for key, head in SHOWN.items()},
        verdict=verdict(scenario, compared),
        road=road,
        cautions=list(cautions(scenario.pitcher, proposes_more=road is not None)),
        merit=found[leader][MIX].value,
    )


def _sure(better: Better) -> str:
    """Say in a few words whether the leading pitch is better, and how sure that is."""
    chance = "" if better.chance_percent is None else f"{chance_in_words(better.chance_percent)} sure"
    if better.pitch is not None:
        return f"better, {chance}" if chance else "better"
    return f"hard to say, only {chance}" if better.matters and chance else "no difference worth a choice"


def _estimates(numbers: dict[str, float | None]) -> dict[str, Estimate]:
    """Put the columns of a pitch together again: a measure, its interval and its sampling error."""

    def number(column: str) -> float:
        value = numbers[column]
        return nan if value is None else value

    keys = [column.removesuffix("_sampling_error") for column in numbers if column.endswith("_sampling_error")]
    return {
        key: Estimate(
            number(key), number(f"{key}_sampling_error"), numbers.get(f"{key}_low"), numbers.get(f"{key}_high")
        )
        for key in keys
    }


def _compared(found: dict[str, dict[str, Estimate]], outcome: Outcome) -> CompareResult:
    difference = None if outcome.difference is None else Estimate(outcome.difference, nan)
    return CompareResult("", found, Better(outcome.better, MIX, difference, outcome.chance_percent), (), "")


def _road(scenario: Scenario, told: Json, reader: Reader) -> Drawn:
    road = built(Road, {key: value for key, value in told.items() if key not in ("pitch", "lever")})
    return drawn(scenario, told["pitch"], MIX, told["lever"], road, reader)


def _listed(numbers: set[int]) -> str:
    return " or ".join(f"{one:,}" for one in sorted(numbers)[:5]) + (" or others" if len(numbers) > 5 else "")
