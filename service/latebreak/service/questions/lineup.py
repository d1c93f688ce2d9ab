"""Who is judged behind which fastball: the pitches of a question made ready, and the faults that only they show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from latebreak.engine.bundle import Bundle
from latebreak.engine.errors import Fault, InputError
from latebreak.engine.kernel import Y
from latebreak.engine.outcome import has_arrived, outcomes
from latebreak.engine.units import FOOT
from latebreak.service.questions.chance import DRAWS, ENOUGH, Unknowns
from latebreak.service.questions.contest import Matchup, matchup
from latebreak.service.questions.setting import Setting
from latebreak.service.scenario import Scenario, reference_fastball


@dataclass(frozen=True, eq=False)
class Lineup:
    """Pitches ready to be judged.

    Attributes
    ----------
    matchup : Matchup
        The hitter, the fastball and every pitch.
    names : tuple of str
        The compared pitches.
    warnings : tuple of str
        Of loading, of the laws' fits, and of draws that can't be thrown.
    """

    matchup: Matchup
    names: tuple[str, ...]
    warnings: tuple[str, ...]


def line_up(setting: Setting, command: str, pitches: Sequence[str] | None, intervals: bool) -> Lineup:
    """Make pitches ready to be judged behind the reference fastball.

    Parameters
    ----------
    setting : Setting
        Scenario and conditions.
    command : str
        What is asked, for messages.
    pitches : sequence of str or None
        Names to compare; None: all that are no fastballs.
    intervals : bool
        Whether to draw what is not known.

    Raises
    ------
    InputError
        If there is no fastball, a name is at fault, or a mean pitch does not arrive.
    """
    fastball, names = _who(setting.scenario, command, pitches, setting.source)
    bundles = setting.bundles(list(setting.scenario.pitch))
    _check_arrivals(bundles, setting.source)
    facing = matchup(setting, fastball, tuple(names), bundles, intervals)
    lost = [] if facing.unknowns is None else _lost_draws(facing.unknowns)
    return Lineup(facing, tuple(names), (*setting.warnings, *setting.fit_warnings(bundles), *lost))


def faults_of_pitch(setting: Setting, command: str, pitch: str) -> tuple[Fault, ...]:
    """Return what is wrong with asking about a pitch."""
    try:
        _who(setting.scenario, command, [pitch], setting.source)
    except InputError as error:
        return error.faults
    return ()


def line_up_for(setting: Setting, command: str, pitch: str, intervals: bool) -> Lineup:
    """Make pitches ready where one of them is asked about, judged as `compare` judges it.

    That is among the pitches that `compare` compares where none are named, or alone where it is none of them.

    Raises
    ------
    InputError
        As `line_up` does.
    """
    faults = faults_of_pitch(setting, command, pitch)
    if faults:
        raise InputError(faults, setting.source)
    _, compared = _who(setting.scenario, command, None, setting.source)
    return line_up(setting, command, compared if pitch in compared else [pitch], intervals)


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


def _who(scenario: Scenario, command: str, asked: Sequence[str] | None, source: str) -> tuple[str, list[str]]:
    """Names of the reference fastball and of the pitches to compare."""
    fastball = reference_fastball(scenario)
    if fastball is None:
        problem = f"{command} needs a fastball, and no pitch is one"
        raise InputError([Fault("pitch.*.role", problem, "", 'give the fastball role = "fastball"')], source)
    others = [name for name in scenario.pitch if name != fastball]
    if asked is None:
        names = [name for name in others if scenario.pitch[name].role != "fastball"] or others
        if not names:
            problem = f"there is no pitch to compare behind {fastball!r}"
            raise InputError([Fault("pitch", problem, "", "add a [pitch.NAME] section")], source)
        return fastball, names
    names = list(dict.fromkeys(asked))
    what = "pitches" if command == "compare" else "pitch"
    allowed = "any of " + ", ".join(others)
    faults = []
    for name in names:
        if name == fastball:
            faults.append(Fault(what, f"{name!r} is the fastball that the others are judged behind", allowed))
        elif name not in others:
            faults.append(Fault(what, f"there is no pitch {name!r} to compare", allowed))
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
