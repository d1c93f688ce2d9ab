"""Why one pitch is ahead of another, in plain sentences."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import isfinite
from types import MappingProxyType

from latebreak.service.quantities import HIDES, QUANTITIES, Name, Reader, Sentence, change_of, sentence, value_of
from latebreak.service.questions.answer import Estimate
from latebreak.service.questions.deciding import FAMILIAR, BeforeHitter
from latebreak.service.questions.verdict import Better, ranked
from latebreak.service.scenario import Scenario

Found = Mapping[str, Mapping[str, Estimate]]

#: Sentences of a verdict.
_MOST = 3
_NOT_ASKED = "how sure that is was not asked for"
_TOO_FEW = "how sure that is can't be said: too few cases of what is not known can be thrown"


def why_better(
    scenario: Scenario,
    fastball: str,
    found: Found,
    better: Better,
    reader: Reader,
    mixes: Mapping[str, Found] = MappingProxyType({}),
    hitters: Sequence[BeforeHitter] = (),
) -> tuple[Sentence, ...]:
    """Say which pitch is ahead, by how much, how sure that is, and what speaks for and against it.

    Parameters
    ----------
    scenario : Scenario
        What was asked about.
    fastball : str
        Key of the fastball.
    found : mapping of str to mapping of str to Estimate
        Estimates of every compared pitch, by its key.
    better : Better
        The verdict.
    reader : Reader
        In whose units.
    mixes : mapping of str to mapping of str to mapping of str to Estimate, optional
        What hitters do with every other pitch when they have a compared one in mind, as `CompareResult.mixes`.
    hitters : sequence of BeforeHitter, optional
        The verdict before other hitters.

    Returns
    -------
    tuple of Sentence
        One to three, the first on other hitters where these were asked for.
    """
    one = _Comparison(scenario, fastball, found, better, reader, mixes)
    return (*over_hitters(scenario, hitters), *one.sentences())[:_MOST]


def over_hitters(scenario: Scenario, hitters: Sequence[BeforeHitter]) -> tuple[Sentence, ...]:
    """Say whether the verdict is the same before all hitters; nothing where these were not asked for."""
    if not hitters or any(len(one.pitches) < 2 for one in hitters):
        return ()
    of_pitch: dict[str | None, list[BeforeHitter]] = {}
    for one in hitters:
        of_pitch.setdefault(one.better.pitch, []).append(one)
    led = {pitch: _whom(some, hitters) for pitch, some in of_pitch.items()}
    named = [pitch for pitch in led if pitch is not None]
    if len(named) > 1:
        each = [
            sentence("{pitch} is ahead against {whom}", pitch=Name(scenario.called(pitch)), whom=led[pitch])
            for pitch in named
        ]
        pattern = (
            "The verdict turns over with the hitter: " + ", but ".join(f"{{p{n}}}" for n in range(len(each))) + "."
        )
        return (sentence(pattern, **{f"p{n}": one for n, one in enumerate(each)}),)
    if not named:
        return (sentence("Against none of these hitters is there a difference beyond chance that matters."),)
    leader = Name(scenario.called(named[0]))
    if None not in led:
        return (sentence("{leader} is ahead against every one of these hitters.", leader=leader),)
    pattern = "{leader} is ahead against {whom}; against the others there is no difference beyond chance that matters."
    return (sentence(pattern, leader=leader, whom=led[named[0]]),)


def _whom(some: Sequence[BeforeHitter], every: Sequence[BeforeHitter]) -> str:
    """Call some of the hitters: "every left-handed hitter; right-handed, first look"."""
    said = []
    for bats in dict.fromkeys(one.bats for one in some):
        own = [one for one in some if one.bats == bats]
        whole = len(own) == sum(one.bats == bats for one in every)
        said += [f"every {bats}-handed hitter"] if whole else [hitter_called(one) for one in own]
    return "; ".join(said)


def hitter_called(one: BeforeHitter) -> str:
    """Call a hitter: "left-handed, first look"."""
    known = {familiarity: words for words, familiarity in FAMILIAR.items()}
    return f"{one.bats}-handed, {known.get(one.familiarity, f'familiarity {one.familiarity:g}')}"


class _Comparison:
    """The first two of compared pitches, in a reader's words."""

    def __init__(
        self,
        scenario: Scenario,
        fastball: str,
        found: Found,
        better: Better,
        reader: Reader,
        mixes: Mapping[str, Found],
    ) -> None:
        self._better, self._reader, self._mixes, self._fastball = better, reader, mixes, fastball
        self._fastball_name = Name(scenario.called(fastball))
        order = ranked(found, better.measure)
        self._alone = len(order) == 1
        self._leader, self._rival = order[0], order[-1] if self._alone else order[1]
        self._found = {key: found[key] for key in order[:2]}
        self._names = {key: Name(scenario.called(key)) for key in order[:2]}
        speed = value_of(QUANTITIES["speed_mph"], reader).say(scenario.pitch[fastball].speed_mph)
        self._behind = sentence("behind the {speed} {fastball}", speed=speed, fastball=Name(scenario.called(fastball)))

    def sentences(self) -> tuple[Sentence, ...]:
        if self._alone:
            pattern = "{leader}, the only pitch compared, {behind}: {decides} {value}."
            first = self._say(pattern, decides=self._decides, value=self._decisive(self._leader))
            return first, sentence("{late}.", late=self._late(self._leader))
        return self._first(), *self._reason(), *self._fastball_behind()

    @property
    def _decides(self) -> str:
        return QUANTITIES[self._better.measure].brief

    def _say(self, pattern: str, **held: str | Sentence) -> Sentence:
        names: dict[str, str | Sentence] = {
            "leader": self._names[self._leader],
            "rival": self._names[self._rival],
            "behind": self._behind,
        }
        return sentence(pattern, **names, **held)

    def _first(self) -> Sentence:
        by = self._better.difference
        assert by is not None  # two are compared
        chance = self._better.chance_percent
        held: dict[str, str | Sentence] = {
            "decides": self._decides,
            "one": self._decisive(self._leader),
            "other": self._decisive(self._rival),
            "by": change_of(QUANTITIES[self._better.measure], self._reader).difference(by, chance),
            "sure": "" if chance is not None else f"; {_TOO_FEW if self._better.too_few_draws else _NOT_ASKED}",
        }
        if self._better.pitch is not None:
            pattern = (
                "{leader} is ahead of {rival} {behind}: {decides} {one} against {other}, a difference of {by}{sure}."
            )
            return self._say(pattern, **held)
        why = "beyond chance" if self._better.matters else "that matters"
        pattern = (
            "No difference {why} {behind}: {decides} {one} for {leader} against {other} for {rival}, a difference of "
            "{by}{sure}."
        )
        return self._say(pattern, why=why, **held)

    def _fastball_behind(self) -> tuple[Sentence, ...]:
        """What each of the two does for the fastball: how often that is missed when hitters have it in mind."""
        key = "miss_chance_percent"
        missed = [self._mixes.get(pitch, {}).get(self._fastball, {}).get(key) for pitch in (self._leader, self._rival)]
        if any(one is None or not isfinite(one.value) for one in missed):
            return ()
        one, other = (value_of(QUANTITIES[key], self._reader).say(each.value) for each in missed if each is not None)
        pattern = "{fastball} is missed on {one} of swings with {leader} in mind, on {other} with {rival}."
        return (self._say(pattern, fastball=self._fastball_name, one=one, other=other),)

    def _reason(self) -> tuple[Sentence, ...]:
        """What speaks against the leader, or for it; nothing where none shows in the digits."""
        if self._better.pitch is None:
            return ()
        keys = {
            f"{HIDES}_ft": "hides longer in the fastball's tunnel",
            "late_break_in": "breaks more after the commit point",
            "arrival_surprise_rms_in": "arrives farther from what he expects",
            "belief_at_commit_percent": "is taken for another pitch more often",
        }
        favours = {what: self._favours(key) for key, what in keys.items() if key != self._better.measure}
        for_it = [what for what, sign in favours.items() if sign > 0]
        against = [what for what, sign in favours.items() if sign < 0]
        parts = [f"{{leader}} {_listed(for_it)}"] * bool(for_it) + [f"{{rival}} {_listed(against)}"] * bool(against)
        return (self._say("; ".join(parts) + "."),) if parts else ()

    def _favours(self, key: str) -> int:
        """Whether a measure is better of the leader, 1, or of the rival, -1, in the digits that are printed."""
        quantity = QUANTITIES[key]
        shown = [round(self._value(pitch, key), quantity.digits) for pitch in (self._leader, self._rival)]
        return quantity.favours(shown[0] - shown[1])

    def _value(self, pitch: str, key: str) -> float:
        value = self._found[pitch][key].value
        return value if isfinite(value) else 0.0

    def _decisive(self, pitch: str) -> str:
        measure = self._better.measure
        return value_of(QUANTITIES[measure], self._reader).say(self._found[pitch][measure].value)

    def _late(self, pitch: str) -> Sentence:
        """When it leaves the tunnel, and what it still does after the commit point."""
        estimates = self._found[pitch]
        until = "stays in the fastball's tunnel all the way"
        if estimates[f"{HIDES}_reached_percent"].value >= 50.0:
            key = f"{HIDES}_ft"
            until = f"leaves the fastball's tunnel {value_of(QUANTITIES[key], self._reader).say(estimates[key].value)}"
        late, share = estimates["late_break_in"].value, estimates["late_break_share_percent"].value
        held: dict[str, str] = {"name": self._names[pitch], "until": until}
        if not isfinite(late):
            return sentence("{name} {until}, and no throw of it arrived", **held)
        of_break = replace(value_of(QUANTITIES["late_break_share_percent"], self._reader), digits=0)
        return sentence(
            "{name} {until} and still breaks {late} after the commit point{share}",
            **held,
            late=value_of(QUANTITIES["late_break_in"], self._reader).say(late),
            share=f" ({of_break.say(share)} of its break)" if isfinite(share) else "",
        )


def _listed(words: list[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
