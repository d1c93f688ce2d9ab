"""The question which scenario measured throws make, and what changed since the last time.

Hand, level, field, air, ball and hitter come from a base scenario, the pitches from the throws.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from latebreak.engine.errors import Fault, InputError
from latebreak.engine.inverse.observed import Observed
from latebreak.engine.inverse.solving import fit_pitch
from latebreak.service.judging.setting import Progress, one_blas_thread
from latebreak.service.quantities import Reader
from latebreak.service.questions.answer import Answer, answer_to
from latebreak.service.questions.fitting.aiming import aimed_together
from latebreak.service.questions.fitting.base import Base, assume, read_base
from latebreak.service.questions.fitting.document import scenario_of
from latebreak.service.questions.fitting.entry import entry_of
from latebreak.service.questions.fitting.identifiability import learned
from latebreak.service.questions.fitting.moved import moved
from latebreak.service.questions.fitting.needs import missing
from latebreak.service.questions.fitting.observed_of import observed_of
from latebreak.service.questions.fitting.result import Change, FitResult, Flagged, PitchFit
from latebreak.service.questions.fitting.roles import Roles, find_roles
from latebreak.service.questions.fitting.scenario_text import scenario_text
from latebreak.service.questions.fitting.session_changes import measured_changes, seen_changes
from latebreak.service.questions.fitting.sessions import Session, session_names, sessions_of
from latebreak.service.questions.fitting.values import Known, known
from latebreak.service.questions.following.follow import check_thrown, follow
from latebreak.service.questions.following.kept_goal import KeptGoal, load_goal
from latebreak.service.scenario import Source
from latebreak.service.throws import Columns, Throws, clean_throws
from latebreak.service.wording import shown

#: Throws: a CSV file, the name of a ready one, or a table as read; and those of any number of later sessions.
Thrown = str | Path | Throws
Later = Thrown | Sequence[Thrown] | None


def fit(
    throws: Thrown,
    *,
    base: Source,
    later: Later = None,
    columns: Columns | None = None,
    fastball: str | None = None,
    goal: str | Path | KeptGoal | None = None,
    seed: int | None = None,
    throws_per_pitch: int | None = None,
    progress: Progress = lambda share: None,
) -> Answer[FitResult]:
    """Fit a scenario to measured throws.

    Parameters
    ----------
    throws : str, Path or Throws
        A CSV file, the name of a ready one, or a table as read.
    base : Scenario, Loaded, str or Path
        Says hand, level, field, air, ball and hitter, and what the throws don't.
    later : str, Path or Throws, or a sequence of them, optional
        Throws of later sessions, in their order; `throws` are then those of the first.
    columns : str, Path or mapping, optional
        Column map of the files: its path, its ready name, or its tables.
    fastball : str, optional
        Name of the pitch that the others are judged against; default: by name, by the base, or the fastest.
    goal : str, Path or KeptGoal, optional
        A goal, or the file of one: how far it is is told for every session.
    seed, throws_per_pitch : int, optional
        Seed and simulated throws of the scenario, in place of the base's.
    progress : callable, optional
        Told the share of the work that is done.

    Returns
    -------
    Answer of FitResult
        With the scenario as TOML text; where there are several sessions, of the latest, and what changed since the
        first.

    Raises
    ------
    InputError
        If throws, column map, base, goal or a name are at fault.
    ScenarioFileError, ThrowsFileError, GoalFileError
        If a file can't be read.
    """
    with one_blas_thread():
        found = read_base(base, seed, throws_per_pitch)
        kept = goal if goal is None or isinstance(goal, KeptGoal) else load_goal(goal)
        pitcher, more = found.scenario.pitcher, [later] if isinstance(later, str | Path | Throws) else later or ()
        files = clean_throws((throws, *more), columns, pitcher)
        return _fit(found, files, fastball, kept, progress)


def _fit(
    base: Base, files: list[Throws], fastball: str | None, goal: KeptGoal | None, progress: Progress
) -> Answer[FitResult]:
    source = " and ".join(throws.source for throws in files)
    sessions, warnings = sessions_of(files)
    if not sessions:
        problem, remedy = "no throw can be used", "mend what the flags name: "
        reasons = "; ".join(f"line {flag.line}: {flag.reason}" for flag in _flags(files)[:3])
        raise InputError([Fault("", problem, "at least one throw", remedy + reasons if reasons else "")], source)
    roles = find_roles(base, {name: _speed(of[-1]) for name, of in sessions.items()}, fastball, source)
    if goal is not None:
        check_thrown(goal, list(sessions), source)
    measured = _measured(base, roles, sessions, source, every=None if goal is None else goal.pitch)
    fitted = {name: _known(base, name, roles, of) for name, of in measured.items()}
    latest = aimed_together({name: of[-1] for name, of in fitted.items()})
    mapping, more = scenario_of(base, latest, roles, source)
    warnings = [
        *base.setting.warnings,
        *(warning for throws in files for warning in throws.warnings),
        *warnings,
        *roles.warnings,
        *more,
        *_not_in_latest(sessions),
        *_deliveries(sessions),
    ]
    changes: dict[str, dict[str, Change]] = {}
    sentences: dict[str, tuple[str, ...]] = {}
    pairs = {name: (of[0], of[-1]) for name, of in fitted.items() if len(of) > 1}
    parts = len(pairs) + (goal is not None)
    for number, (name, (earlier, later)) in enumerate(pairs.items()):
        seen, trouble = seen_changes(
            mapping,
            name,
            entry_of(earlier, base, reference=False),
            lambda share, before=number: progress((before + share) / parts),  # type: ignore[misc]
        )
        warnings += trouble
        changes[name] = {**measured_changes(earlier, later), **seen}
        sentences[name] = moved(changes[name], later.values, Reader(hand=base.scenario.pitcher.hand))
    followed = None
    if goal is not None:
        known_of = [*fitted[goal.pitch][:-1], latest[goal.pitch]]
        followed, trouble = follow(
            goal, base, mapping, known_of, session_names(files), lambda share: progress((len(pairs) + share) / parts)
        )
        warnings += trouble
    pitches = {
        name: _pitch_fit(name, files, sessions.get(name, []), latest.get(name))
        for name in dict.fromkeys([*sessions, *(flag.pitch for flag in _flags(files) if flag.pitch)])
    }
    unused = [name for name, one in pitches.items() if not one.used]
    warnings += [f"pitch.{name}: none of its {pitches[name].count} throws can be used" for name in unused]
    result = FitResult(
        pitches,
        {
            "read": sum(throws.rows for throws in files),
            "used": sum(len(throws) for throws in files),
            "left_out": sum(flag.left_out for flag in _flags(files)),
        },
        tuple(Flagged(throws.source, flag) for throws in files for flag in throws.flags if not flag.pitch),
        scenario_text(mapping, latest, base.setting.source),
        changes,
        sentences,
        followed,
    )
    scenario = base.scenario
    return answer_to(
        "fit",
        scenario,
        warnings,
        result,
        title=str(mapping["title"]),
        proposes_more=goal is not None,
    )


def _measured(
    base: Base, roles: Roles, sessions: Mapping[str, list[Session]], source: str, *, every: str | None
) -> dict[str, list[tuple[Session, Observed]]]:
    """First and last session of every pitch, and all of one, in SI units.

    Pitches that lack what nothing else can tell are refused.
    """
    rubber = base.setting.conditions.rubber_to_plate
    measured, faults = {}, []
    for name, of in sessions.items():
        prior = assume(base, name, roles.of[name]).prior
        ends = of if len(of) < 2 or name == every else [of[0], of[-1]]
        measured[name] = [(one, observed_of(one.throws, one.rows, rubber, prior)) for one in ends]
        faults += [fault for _, observed in measured[name] for fault in missing(name, observed, prior.levers)]
    if faults:
        raise InputError(dict.fromkeys(faults), source)
    return measured


def _known(base: Base, name: str, roles: Roles, measured: list[tuple[Session, Observed]]) -> list[Known]:
    role = roles.of[name]
    assumed = assume(base, name, role)
    conditions = base.setting.conditions
    return [
        known(name, role, one.name, one.throws.source, fit_pitch(observed, conditions, assumed.prior), assumed)
        for one, observed in measured
    ]


def _pitch_fit(name: str, files: list[Throws], sessions: list[Session], latest: Known | None) -> PitchFit:
    used = {one.name: one.count for one in sessions}
    left_out = sum(throws.left_out(name) for throws in files)
    flagged = tuple(Flagged(throws.source, flag) for throws in files for flag in throws.flags if flag.pitch == name)
    count = sum(used.values()) + left_out
    if latest is None:
        return PitchFit(None, count, 0, used, flagged, learned=("No throw of it can be used.",))
    return PitchFit(
        latest.role, count, latest.fitted.count, used, flagged, latest.values, latest.origin, learned(latest)
    )


def _flags(files: list[Throws]) -> list[Any]:
    return [flag for throws in files for flag in throws.flags]


def _speed(session: Session) -> float:
    """Median speed in mph; NaN where it was not measured."""
    throws = session.throws.values
    if "speed_mph" in throws:
        speeds = throws["speed_mph"]
    elif "vy0_ft_s" in throws:  # near enough to tell a fastball
        speeds = np.abs(throws["vy0_ft_s"]) * 3600.0 / 5280.0
    else:
        return float("nan")
    known_speeds = speeds[session.rows]
    return float(np.nanmedian(known_speeds)) if np.isfinite(known_speeds).any() else float("nan")


def _not_in_latest(sessions: Mapping[str, list[Session]]) -> list[str]:
    latest = next((of[-1].name for of in reversed(list(sessions.values())) if len(of) > 1), None)
    return [
        f"{shown(name)}: not thrown in {shown(latest)}; the scenario has it as in {shown(of[-1].name)}"
        for name, of in sessions.items()
        if latest is not None and of[-1].name != latest
    ]


def _deliveries(sessions: Mapping[str, list[Session]]) -> list[str]:
    warnings = []
    for name, of in sessions.items():
        kinds = {one.throws.delivery[row] for one in of for row in np.flatnonzero(one.rows)} - {None}
        if len(kinds) > 1:
            warnings.append(
                f"{shown(name)}: wind-up and stretch are taken together; a column map that names them as two pitches "
                "would tell them apart"
            )
    return warnings
