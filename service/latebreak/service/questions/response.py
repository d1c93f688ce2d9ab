"""Every measure of versions of a pitch: how the answer responds to what is changed."""

from __future__ import annotations

import numpy as np

from latebreak.engine.draws import Draws
from latebreak.service.questions.contest import Contests
from latebreak.service.questions.moments import OF_EVENTS, event_samples, separation_samples
from latebreak.service.questions.samples import Response, Sample
from latebreak.service.questions.setting import Progress
from latebreak.service.questions.thrown import OF_THROWS, throw_samples

#: Measures that come from one piece of work, by the start of their keys; all others come from the throws.
SEPARATION, EVENTS = ("same_line_separation",), ("recognition", "break_onset")
#: Keys of all measures.
MEASURES = (
    *(f"{event}_{key}" for event in SEPARATION + EVENTS for key in OF_EVENTS),
    *OF_THROWS,
)


def respond(
    contests: Contests,
    draws: Draws,
    measure: str | None = None,
    progress: Progress = lambda share: None,
) -> Response:
    """Measure versions of a pitch.

    Parameters
    ----------
    contests : Contests
        The versions before the hitter.
    draws : Draws
        Seed and throws; common to all versions.
    measure : str, optional
        The one measure that is wanted, which saves the work behind the others; default: all.
    progress : callable
        Told the share of the work that is done.
    """
    samples: dict[str, Sample] = {}
    usable = contests.usable
    kept = np.zeros(usable.shape[0], np.int64)
    if measure is None or measure.startswith(SEPARATION):
        samples |= separation_samples(contests)
    if measure is None or measure.startswith(EVENTS):
        samples |= event_samples(contests, draws)
    if measure is None or not measure.startswith(SEPARATION + EVENTS):
        thrown, arrived, kept = throw_samples(contests, draws, measure, progress)
        samples |= thrown
        usable = usable & arrived
    return Response(samples if measure is None else {measure: samples[measure]}, usable, kept)
