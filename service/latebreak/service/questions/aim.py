"""The question where a pitch should be aimed, given how this pitcher scatters.

Targets lie on a grid, a ball's width apart, over the strike zone and around it. The pitch is thrown at each of them
with the scatter that it has, on common draws, so that targets differ by where they are and by nothing else. What is
best in a first look with few throws is looked at again, with its neighbours, with all throws.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from latebreak.engine.errors import InputError
from latebreak.engine.flight.kernel import AT_X, AT_Z
from latebreak.engine.units import FOOT
from latebreak.service.judging.estimates import Estimate, finite
from latebreak.service.judging.lineup import Lineup, faults_of_pitch, line_up_for
from latebreak.service.judging.setting import Progress, one_blas_thread, settle
from latebreak.service.judging.whole_mix import OF_PITCH
from latebreak.service.plain import OPTIONAL
from latebreak.service.quantities import QUANTITIES, Reader
from latebreak.service.questions.aim_words import why_there
from latebreak.service.questions.answer import Answer, answer_to
from latebreak.service.questions.deciding import faults_of_deciding
from latebreak.service.questions.target_search import BALL, TargetSearch, measure_targets
from latebreak.service.scenario import Source

#: The measure by which targets are told apart where none is named.
MEASURE = OF_PITCH
_EDGE = (
    "the best target lies at the edge of what is searched: by this measure the pitch should be aimed ever farther out, "
    "where nobody swings"
)
#: What lies a ball's width away, by its name: steps to the catcher's right and up.
_AWAY = {"up": (0, 1), "down": (0, -1), "right": (1, 0), "left": (-1, 0)}


@dataclass(frozen=True)
class Target:
    """A target, and what the pitch does when it is aimed there.

    Attributes
    ----------
    target_side_ft, target_height_ft : float
        Where it is aimed.
    estimate : Estimate
        The measure there.
    """

    target_side_ft: float
    target_height_ft: float
    estimate: Estimate


@dataclass(frozen=True)
class Place:
    """A place of the grid, and the measure there, differences from few throws; None where it can't be thrown to."""

    target_side_ft: float
    target_height_ft: float
    value: float | None = field(metadata=OPTIONAL)


@dataclass(frozen=True)
class AimResult:
    """Where to aim a pitch.

    Attributes
    ----------
    pitch, fastball : str
        The pitch, and the fastball that it is judged behind.
    measure : str
        Key of the measure by which targets are told apart.
    now, best : Target
        Where it is aimed, and where it should be.
    gain : Estimate
        The measure at the best target less that where it is aimed now.
    chance_percent : float or None
        Chance that the best target is truly better than the present one; None where it was not asked for.
    away : dict of str to Estimate
        Change of the measure a ball's width up, down, right and left (catcher's) of the best target; those that can't
        be thrown are absent.
    grid : tuple of Place
        Every place of the first look, row by row from below.
    why : tuple of str
        Plain sentences in US units, of `why_there`.
    judged_among : str
        Among which pitches it is judged, with their shares.
    """

    pitch: str
    fastball: str
    measure: str
    now: Target
    best: Target
    gain: Estimate
    chance_percent: float | None = field(metadata=OPTIONAL)
    away: dict[str, Estimate]
    grid: tuple[Place, ...]
    why: tuple[str, ...]
    judged_among: str

    @property
    def moves(self) -> bool:
        """Whether the best target is another one than now, by a difference that matters."""
        return abs(self.gain.value) >= (QUANTITIES[self.measure].matters or 0.0)


def aim(
    source: Source,
    *,
    pitch: str,
    measure: str = MEASURE,
    intervals: bool = True,
    seed: int | None = None,
    throws: int | None = None,
    progress: Progress = lambda share: None,
) -> Answer[AimResult]:
    """Find where a pitch should be aimed, given how it scatters.

    Parameters
    ----------
    source : Scenario, Loaded, str or Path
        A scenario, or the path or ready name of one.
    pitch : str
        Name of the pitch; it is judged as `compare` does.
    measure : str, optional
        Key of a measure of `compare` of which more, or less, is better; default: strikes without contact.
    intervals : bool, optional
        Whether to sample what is not known; False is faster.
    seed, throws : int, optional
        In place of the scenario's own.
    progress : callable, optional
        Told the share of the work that is done.

    Returns
    -------
    Answer of AimResult
        To within half a ball's width.

    Raises
    ------
    InputError
        If the scenario, the name or the measure is at fault, or there is no fastball.
    ScenarioFileError
        If there is no such scenario.
    """
    with one_blas_thread():
        setting = settle(source, seed, throws)
        faults = [replace(fault, where="measure") for fault in faults_of_deciding(measure)]
        if faults:
            raise InputError([*faults_of_pitch(setting, "aim", pitch), *faults], setting.source)
        return aim_in(line_up_for(setting, "aim", pitch, intervals), pitch, measure, progress)


def aim_in(
    lineup: Lineup, name: str, measure: str = MEASURE, progress: Progress = lambda share: None
) -> Answer[AimResult]:
    """Find where a pitch of a lineup should be aimed."""
    scenario, draws = lineup.setting.scenario, lineup.setting.draws
    now = _now(lineup, name)
    search = TargetSearch(lineup, name, measure, progress)
    found = search.first_look()
    cell, best, known = search.climb(found, now)
    away = {where: (best[0] + BALL * right, best[1] + BALL * up) for where, (right, up) in _AWAY.items()}
    asked, on_target = measure_targets(lineup, name, [now, best, *away.values()], measure, draws)
    # all throws know the level at the best cell and what lies around it; beyond are only differences of few throws
    level = 0.0 if cell is None else float(asked.value[1]) - found[cell]
    grid = {one: value + level for one, value in found.items()} | known
    less = int(QUANTITIES[measure].better == "less")
    chance = asked.chance_of_lead(1 - less, since=less) if best != now else None
    result = AimResult(
        name,
        lineup.fastball,
        measure,
        Target(*now, asked.estimate(0)),
        Target(*best, asked.estimate(1)),
        asked.change(1, since=0),
        chance,
        {where: asked.change(number, since=1) for number, where in enumerate(away, 2) if on_target[number]},
        tuple(Place(*search.place(one), finite(value)) for one, value in grid.items()),
        (),
        lineup.judged_among(name),
    )
    why = why_there(scenario, result, Reader(hand=scenario.pitcher.hand))
    progress(1.0)
    return answer_to(
        "aim",
        scenario,
        (*lineup.warnings, *([_EDGE] if cell is not None and search.is_edge(cell) else [])),
        replace(result, why=tuple(map(str, why))),
    )


def _now(lineup: Lineup, name: str) -> tuple[float, float]:
    """Where a pitch is aimed; of one that is given by launch angles, where its mean arrives."""
    entry = lineup.setting.scenario.pitch[name]
    if entry.target_side_ft is not None and entry.target_height_ft is not None:
        return entry.target_side_ft, entry.target_height_ft
    bundle = lineup.bundles[name]
    arrival = bundle.flight.arrivals(bundle.mean.releases())[:, 0]
    return float(arrival[AT_X] / FOOT), float(arrival[AT_Z] / FOOT)
