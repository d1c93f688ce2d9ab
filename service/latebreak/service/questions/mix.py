"""The question how often each pitch should be thrown.

Hitters come to expect what is thrown. So the shares s_h of a mix are both what is thrown and what hitters expect, and
the mix is worth

    V(s) = sum over h of s_h p_h(s),

strikes without contact per 100 pitches, p_h(s): those per pitch h before hitters who know the shares. A mix that lives
on surprise has a small V, because nobody is surprised by it any more: the mix of the largest V is the one that hitters
can't exploit by learning what is thrown. Shares go in steps of 5 %; the reference fastball, for which hitters are
always ready, is thrown at least once in 20 pitches. Up to three pitches every mix is looked at; with more the search
climbs, moving one step from one pitch to another. A hitter sees the same of a throw whatever he expects, so throws are
flown once for many mixes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from latebreak.engine.bundle.draws import Draws
from latebreak.engine.errors import Fault, InputError
from latebreak.service.judging.estimates import Estimate, Estimator, weighted
from latebreak.service.judging.lineup import Lineup, line_up
from latebreak.service.judging.measures import measure_pitch
from latebreak.service.judging.setting import Progress, Setting, one_blas_thread, settle
from latebreak.service.judging.whole_mix import MIX, OF_PITCH
from latebreak.service.plain import OPTIONAL
from latebreak.service.quantities import QUANTITIES, Reader
from latebreak.service.questions.answer import Answer, answer_to
from latebreak.service.questions.mix_search import STEPS, Known, Shares, climbed, every
from latebreak.service.questions.mix_words import why_so
from latebreak.service.scenario import Source

#: Most pitches of which every mix is looked at: 231 of three.
_EVERY = 3
#: Most pitches of a mix that is searched (chosen: more than anybody throws).
_MOST = 8
#: Throws of each pitch in the search (chosen: common to all mixes, so only differences have a sampling error).
_FEW = 1024


@dataclass(frozen=True)
class Mix:
    """A mix, and what it is worth.

    Attributes
    ----------
    shares_percent : dict of str to float
        Of each pitch: thrown, and expected.
    estimate : Estimate
        Strikes without contact per 100 pitches of it.
    pitches : dict of str to Estimate
        Strikes without contact per 100 of each pitch, before hitters who expect these shares.
    """

    shares_percent: dict[str, float]
    estimate: Estimate
    pitches: dict[str, Estimate]


@dataclass(frozen=True)
class Curve:
    """What a mix is worth against the share of one pitch, the others in the proportions of the best mix.

    Attributes
    ----------
    share_percent, value : tuple of float
        Shares, and strikes without contact per 100 pitches: differences from few throws, level from all.
    low_percent, high_percent : float
        Shares between which no difference that matters is lost.
    """

    share_percent: tuple[float, ...]
    value: tuple[float, ...]
    low_percent: float
    high_percent: float


@dataclass(frozen=True)
class MixResult:
    """How often to throw each pitch.

    Attributes
    ----------
    fastball : str
        The reference fastball.
    measure : str
        Key of what a mix is worth.
    today, best : Mix
        What hitters expect by the scenario, and the mix that they can't exploit.
    gain : Estimate
        The best less today's.
    chance_percent : float or None
        Chance that the best is truly better than today's; None where it was not asked for, or is today's.
    guessed_percent, guessed_loss : dict of str to float, and float
        Of all mixes that were looked at, the one that a hitter should expect to spoil the best mix most, and how many
        points he would take off; 0 where knowing the shares is his best.
    curves : dict of str to Curve
        By pitch.
    why : tuple of str
        Plain sentences, of `why_so`.
    """

    fastball: str
    measure: str
    today: Mix
    best: Mix
    gain: Estimate
    chance_percent: float | None = field(metadata=OPTIONAL)
    guessed_percent: dict[str, float]
    guessed_loss: float
    curves: dict[str, Curve]
    why: tuple[str, ...]

    @property
    def moves(self) -> bool:
        """Whether the best mix is better than today's by a difference that matters."""
        return self.gain.value >= (QUANTITIES[self.measure].matters or 0.0)


def mix(
    source: Source,
    *,
    intervals: bool = True,
    seed: int | None = None,
    throws: int | None = None,
    progress: Progress = lambda share: None,
) -> Answer[MixResult]:
    """Find how often each pitch should be thrown.

    Parameters
    ----------
    source : Scenario, Loaded, str or Path
        A scenario, or the path or ready name of one; today's mix is what its hitter expects.
    intervals : bool, optional
        Whether to sample what is not known; False is faster.
    seed, throws : int, optional
        In place of the scenario's own.
    progress : callable, optional
        Told the share of the work that is done.

    Returns
    -------
    Answer of MixResult
        To within a step of 5 %.

    Raises
    ------
    InputError
        If the scenario is at fault, there is no fastball or no other pitch, or there are too many.
    ScenarioFileError
        If there is no such scenario.
    """
    with one_blas_thread():
        setting = settle(source, seed, throws)
        faults = faults_of_number(setting)
        try:
            lineup = line_up(setting, "mix", None, intervals and not faults)
        except InputError as error:
            raise InputError([*error.faults, *faults], setting.source) from None
        if faults:
            raise InputError(faults, setting.source)
        return mix_in(lineup, progress)


def mix_in(lineup: Lineup, progress: Progress = lambda share: None) -> Answer[MixResult]:
    """Find how often each pitch of a lineup should be thrown."""
    scenario, draws = lineup.setting.scenario, lineup.setting.draws
    names = [lineup.fastball, *(name for name in scenario.pitch if name != lineup.fastball)]
    today = tuple(scenario.hitter.expects.get(name, 0.0) for name in names)
    known = Known(replace(lineup, ensemble=None), names, Draws(draws.seed, min(draws.throws, _FEW)))
    best = every(known) if len(names) <= _EVERY else climbed(known, today)
    progress(0.5)
    guessed, loss = known.worst_guess(best)
    of_best, of_today = _estimated(lineup, names, (best, today), draws)
    progress(0.8)
    level = float(of_best.whole.value[0])
    curves = {name: _curve(known, best, number, level) for number, name in enumerate(names)}
    both = of_best.whole.beside(of_today.whole)
    result = MixResult(
        lineup.fastball,
        MIX,
        of_today.told(names, today),
        of_best.told(names, best),
        both.change(0, since=1),
        both.chance_of_lead(0, since=1) if best != today else None,
        _percent(names, guessed),
        loss,
        curves,
        (),
    )
    why = why_so(scenario, result, Reader(hand=scenario.pitcher.hand))
    progress(1.0)
    return answer_to(
        "mix",
        scenario,
        lineup.warnings,
        replace(result, why=tuple(map(str, why))),
    )


def _curve(known: Known, best: Shares, number: int, level: float) -> Curve:
    """What the mix is worth against the share of one pitch; `level` is what all throws say of the best mix."""
    rest = np.array([share if other != number else 0.0 for other, share in enumerate(best)])
    if rest.sum() == 0.0:
        rest = np.array([float(other != number) for other in range(len(best))])
    rest /= rest.sum()
    at = [step / STEPS for step in range(int(number == 0), STEPS + 1)]
    mixes = [
        tuple(round(float(share if other == number else (1.0 - share) * rest[other]), 12) for other in range(len(best)))
        for share in at
    ]
    mixes = [one if one[0] > 0.0 else _least_fastball(one) for one in mixes]
    value = known.worth(mixes) + level - known.worth([best])
    near = value >= level - (QUANTITIES[MIX].matters or 0.0)
    own = min(range(len(at)), key=lambda place: abs(at[place] - best[number]))
    low = high = own
    while low > 0 and near[low - 1]:
        low -= 1
    while high < len(at) - 1 and near[high + 1]:
        high += 1
    percent = tuple(round(100.0 * one[number], 9) for one in mixes)
    return Curve(percent, tuple(map(float, value)), percent[low], percent[high])


def _least_fastball(shares: Shares) -> Shares:
    """Return a mix without the fastball with one step of it in place of the largest share."""
    most = shares.index(max(shares))
    return tuple(
        1.0 / STEPS if number == 0 else share - (number == most) / STEPS for number, share in enumerate(shares)
    )


@dataclass(frozen=True)
class _Estimated:
    """A mix estimated with all throws: the whole, and each pitch."""

    whole: Estimator
    pitches: dict[str, Estimator]

    def told(self, names: Sequence[str], shares: Shares) -> Mix:
        """Return what is told of it."""
        pitches = {name: one.estimate() for name, one in self.pitches.items()}
        return Mix(_percent(names, shares), self.whole.estimate(), pitches)


def _estimated(lineup: Lineup, names: Sequence[str], mixes: Sequence[Shares], draws: Draws) -> list[_Estimated]:
    expects: list[dict[str, float]] = [dict(zip(names, one, strict=True)) for one in mixes]
    found = {name: measure_pitch(lineup.judge_expecting(name, expects), draws, OF_PITCH)[OF_PITCH] for name in names}
    result = []
    for number, shares in enumerate(expects):
        pitches = {name: one.version(number) for name, one in found.items()}
        thrown = [(share, pitches[name]) for name, share in shares.items() if share > 0.0]
        result.append(_Estimated(weighted(thrown), pitches))
    return result


def _percent(names: Sequence[str], shares: Shares) -> dict[str, float]:
    return {name: round(100.0 * share, 9) for name, share in zip(names, shares, strict=True)}


def faults_of_number(setting: Setting) -> tuple[Fault, ...]:
    """Return what is wrong with the number of pitches: more than the search takes."""
    number = len(setting.scenario.pitch)
    if number <= _MOST:
        return ()
    problem = f"a mix of {number} pitches can't be searched"
    return (Fault("pitch", problem, f"at most {_MOST} pitches", "leave some out"),)
