"""Versions of one pitch made ready: the mean pitches side by side, and a bundle of its own for each other spread."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle import prepare_versions
from latebreak.engine.draws import Draws
from latebreak.service.questions.contest import Matchup
from latebreak.service.questions.response import respond
from latebreak.service.questions.samples import Response
from latebreak.service.questions.setting import Progress
from latebreak.service.scenario.physical import physical_pitch
from latebreak.service.scenario.pitch_entry import PitchEntry


def respond_to(
    facing: Matchup,
    name: str,
    entries: Sequence[PitchEntry],
    draws: Draws,
    measure: str | None = None,
    progress: Progress = lambda share: None,
) -> tuple[Response, NDArray[np.bool_]]:
    """Measure versions of a pitch, each as if the scenario held it in place of the pitch.

    Parameters
    ----------
    facing : Matchup
        The hitter and the other pitches.
    name : str
        Of the pitch.
    entries : sequence of PitchEntry
        v versions; those of equal spread are flown side by side.
    draws : Draws
        Seed and throws; common to all versions.
    measure : str, optional
        The one measure that is wanted; default: all.
    progress : callable
        Told the share of the work that is done.

    Returns
    -------
    response : Response
        In the order of the entries.
    reached : bool array, shape (v,)
        Whether each version hits its target; measures of one that does not mean nothing.
    """
    setting = facing.setting
    groups: dict[str, list[int]] = {}
    for number, entry in enumerate(entries):
        groups.setdefault(entry.spread.model_dump_json(), []).append(number)
    response, reached = None, np.zeros(len(entries), dtype=bool)
    order: list[int] = []
    for numbers in groups.values():
        versions = [physical_pitch(setting.scenario, entries[number]) for number in numbers]
        bundle, hit = prepare_versions(versions, setting.conditions)
        contests = facing.contests(name, bundle, hit)
        before = len(order) / len(entries)
        width = len(numbers) / len(entries)
        found = respond(
            contests,
            draws,
            measure,
            lambda share, before=before, width=width: progress(before + width * share),  # type: ignore[misc]
        )
        response = found if response is None else response.beside(found)
        reached[numbers] = hit
        order += numbers
    assert response is not None  # there is at least one version
    return response.versions(np.argsort(order)), reached
