"""What a record of swings taught, in plain sentences."""

from __future__ import annotations

from collections.abc import Mapping

from latebreak.perception.parameters import parameter_table
from latebreak.perception.swings.teaching import FEWEST_SWINGS
from latebreak.service.questions.teaching.result import HeldOut, TaughtParameter
from latebreak.service.wording import clean

#: Moves below this are none, in SDs of what was known (chosen).
_WORTH_SAYING = 0.5
_MOST = 3


def sentences(
    hitter: str | None,
    learned: bool,
    counts: Mapping[str, int],
    parameters: Mapping[str, TaughtParameter],
    held_out: HeldOut | None,
) -> tuple[str, ...]:
    """Say what was learnt, how well it predicts, and what moved most.

    Parameters
    ----------
    hitter, learned, counts, parameters, held_out
        As in `HittersResult`.
    """
    whom = "the hitters" if hitter is None else clean(hitter)
    swings = f"{counts['swings']:,} swings"
    if not learned:
        stays = "they stay" if hitter is None else "he stays"
        return (
            f"Too few swings to learn from: {swings}, where at least {FEWEST_SWINGS} are needed; {stays} as known.",
        )
    misses = f"{counts['misses']:,} misses" if counts["misses"] != 1 else "1 miss"
    days = f"{counts['days']} days" if counts["days"] != 1 else "one day"
    first = f"{swings} with {misses} at {counts['pitches']:,} pitches on {days} taught {whom}."
    moves = {key: one for key, one in parameters.items() if abs(one.moved_sd) >= _WORTH_SAYING}
    most = sorted(moves, key=lambda key: -abs(moves[key].moved_sd))[:_MOST]
    table = parameter_table()["parameter"]
    moved = "; ".join(
        f"{table[key]['meaning']} ({key} {moves[key].before.value:.3g} to {moves[key].now.value:.3g})" for key in most
    )
    last = f"Moved most: {moved}." if moved else "Nothing moved by half of what it was known by."
    return first, _predicts(held_out), last


def _predicts(held_out: HeldOut | None) -> str:
    if held_out is None:
        return (
            "How well that predicts is not known: it takes two days or more, and enough swings without every other day."
        )
    gain = held_out.gain
    low, high = gain.low or 0.0, gain.high or 0.0
    verdict = (
        "better than what was known before"
        if low > 0.0
        else "worse than what was known before: do not use it"
        if high < 0.0
        else "no better, as far as they can tell, than what was known before"
    )
    days = f"{held_out.days} held-out days" if held_out.days != 1 else "one held-out day"
    return (
        f"Taught by the other days only, they predict {days} {verdict}: {gain.value:+.2f} ({low:+.2f} to {high:+.2f}) "
        "log likelihood in 100 pitches."
    )
