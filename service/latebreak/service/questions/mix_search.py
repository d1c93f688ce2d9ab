"""The search for the best mix: what is known of mixes, brute force over all, or moves of one step."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.draws import Draws
from latebreak.service.judging.lineup import Lineup
from latebreak.service.judging.measures import measure_pitch
from latebreak.service.judging.whole_mix import OF_PITCH

#: Steps of 5 % in a whole.
STEPS = 20
#: Mixes that are judged at a time: their arrays are held together.
_TOGETHER = 64

Shares = tuple[float, ...]


class Known:
    """What is known of mixes: strikes without contact of each pitch where hitters expect them.

    Parameters
    ----------
    lineup : Lineup
        Without an ensemble.
    names : sequence of str
        Of the pitches, the fastball first.
    draws : Draws
        Of the search.
    """

    def __init__(self, lineup: Lineup, names: Sequence[str], draws: Draws) -> None:
        self._lineup, self.names, self._draws = lineup, names, draws
        self._found: dict[Shares, NDArray[np.float64]] = {}

    def ask(self, mixes: Sequence[Shares]) -> NDArray[np.float64]:
        """Return strikes without contact per pitch, percent, (k, H), where hitters expect each of k mixes."""
        new = [one for one in dict.fromkeys(mixes) if one not in self._found]
        for first in range(0, len(new), _TOGETHER):
            some = new[first : first + _TOGETHER]
            expects = [dict(zip(self.names, one, strict=True)) for one in some]
            found = [
                measure_pitch(self._lineup.judge_expecting(name, expects), self._draws, OF_PITCH)[OF_PITCH].value
                for name in self.names
            ]
            self._found |= dict(zip(some, np.stack(found, axis=1), strict=True))
        return np.stack([self._found[one] for one in mixes])

    def worth(self, mixes: Sequence[Shares]) -> NDArray[np.float64]:
        """V(s) of the module's text for each mix, (k,)."""
        value: NDArray[np.float64] = np.nansum(np.array(mixes) * self.ask(mixes), axis=1)
        return value

    def worst_guess(self, thrown: Shares) -> tuple[Shares, float]:
        """Of all mixes asked about, what to expect against the thrown one, and what that takes off its worth."""
        (own,) = self.worth([thrown])
        held = {guess: float(np.nansum(np.array(thrown) * found)) for guess, found in self._found.items()}
        worst = min(held, key=lambda guess: held[guess])
        return (worst, float(own) - held[worst]) if held[worst] < own else (thrown, 0.0)


def every(known: Known) -> Shares:
    """Return the best of all mixes, by brute force."""
    mixes = [_shares(one) for one in _compositions(STEPS, len(known.names)) if one[0] > 0]
    return mixes[int(known.worth(mixes).argmax())]


def climbed(known: Known, today: Shares) -> Shares:
    """Return the best mix that moves of one step find, from today's and from an even one."""
    even = (1.0 / len(known.names),) * len(known.names)
    tops = [_climb(known, _rounded(one)) for one in (today, even)]
    return tops[int(known.worth(tops).argmax())]


def _climb(known: Known, start: tuple[int, ...]) -> Shares:
    here = start
    while True:
        near = [here]
        for giver in range(len(here)):
            for taker in range(len(here)):
                if giver != taker and here[giver] > (giver == 0):
                    moved = list(here)
                    moved[giver], moved[taker] = moved[giver] - 1, moved[taker] + 1
                    near.append(tuple(moved))
        best = near[int(known.worth([_shares(one) for one in near]).argmax())]
        if best == here:
            return _shares(here)
        here = best


def _rounded(shares: Shares) -> tuple[int, ...]:
    """Return the nearest shares in steps, at least one of the fastball; what is over goes where most was cut."""
    steps = [int(STEPS * share + 1e-9) for share in shares]
    left = sorted(range(len(shares)), key=lambda number: steps[number] - STEPS * shares[number])
    for number in left[: STEPS - sum(steps)]:
        steps[number] += 1
    if not steps[0]:
        steps[0], steps[steps.index(max(steps))] = 1, max(steps) - 1
    return tuple(steps)


def _compositions(whole: int, parts: int) -> Iterator[tuple[int, ...]]:
    if parts == 1:
        yield (whole,)
        return
    for first in range(whole + 1):
        for rest in _compositions(whole - first, parts - 1):
            yield (first, *rest)


def _shares(steps: Sequence[int]) -> Shares:
    return tuple(step / STEPS for step in steps)
