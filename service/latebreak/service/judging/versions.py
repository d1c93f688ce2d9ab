"""Versions of one pitch side by side: as v columns, and a bundle of its own for each other spread."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.bundle import prepare_versions
from latebreak.engine.bundle.draws import Draws
from latebreak.service.judging.estimates import Estimator
from latebreak.service.judging.lineup import Lineup
from latebreak.service.judging.measures import measure_pitches
from latebreak.service.judging.members import Versions
from latebreak.service.judging.setting import Progress
from latebreak.service.judging.whole_mix import MIX, OF_PITCH, judge_others, of_mix
from latebreak.service.scenario.physical import physical_pitch
from latebreak.service.scenario.pitch_entry import PitchEntry


def measure_versions(
    lineup: Lineup,
    name: str,
    entries: Sequence[PitchEntry],
    draws: Draws,
    only: str | None = None,
    progress: Progress = lambda share: None,
) -> tuple[dict[str, Estimator], NDArray[np.bool_]]:
    """Measure versions of a pitch, each as if the scenario held it in place of the pitch.

    Parameters
    ----------
    lineup : Lineup
        The hitter and the other pitches.
    name : str
        Of the pitch.
    entries : sequence of PitchEntry
        v versions, at least one; those of equal spread are flown side by side.
    draws : Draws
        Seed and throws; common to all versions.
    only : str, optional
        The one measure that is wanted; default: all.
    progress : callable
        Told the share of the work that is done.

    Returns
    -------
    estimators : dict of str to Estimator
        By key, the whole mix included; versions in the order of the entries.
    on_target : bool array, shape (v,)
        Whether each version can be thrown to its target; measures of one that can't mean nothing.
    """
    setting = lineup.setting
    groups: dict[str, list[int]] = {}
    for number, entry in enumerate(entries):
        groups.setdefault(entry.spread.model_dump_json(), []).append(number)
    estimators: dict[str, Estimator] = {}
    on_target = np.zeros(len(entries), dtype=bool)
    order: list[int] = []
    for numbers in groups.values():
        versions = [physical_pitch(setting.scenario, entries[number]) for number in numbers]
        bundle, on_target[numbers] = prepare_versions(versions, setting.conditions)
        done, width = len(order) / len(entries), len(numbers) / len(entries)
        found = measure_side_by_side(
            lineup,
            lineup.versions(name, bundle, on_target[numbers]),
            draws,
            only,
            lambda share, done=done, width=width: progress(done + width * share),  # type: ignore[misc]
        )
        estimators = {key: estimators[key].beside(one) if estimators else one for key, one in found.items()}
        order += numbers
    return {key: one.versions(np.argsort(order)) for key, one in estimators.items()}, on_target


def measure_side_by_side(
    lineup: Lineup,
    versions: Versions,
    draws: Draws,
    only: str | None = None,
    progress: Progress = lambda share: None,
) -> dict[str, Estimator]:
    """Measure versions of equal spread, and the whole mix with each of them; parameters as of `measure_versions`."""
    asked = [(lineup.judge(versions.name, versions), OF_PITCH if only == MIX else only)]
    others = judge_others(lineup, [versions]) if only in (None, MIX) else {}
    found, *beside = measure_pitches([*asked, *((one, OF_PITCH) for one in others.values())], draws, progress)
    if only in (None, MIX):
        of_pitch = {name: measures[OF_PITCH] for name, measures in zip(others, beside, strict=True)}
        found[MIX] = of_mix(lineup.mix(versions.name), of_pitch | {versions.name: found[OF_PITCH]})
    return found if only is None else {only: found[only]}
