"""Why one pitch is ahead of another, in plain sentences."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import isfinite

from latebreak.service.quantities import HIDES, QUANTITIES, Name, Reader, Sentence, change_of, sentence, value_of
from latebreak.service.questions.answer import Estimate
from latebreak.service.questions.verdict import SURE_ENOUGH, Better, ranked
from latebreak.service.scenario import Scenario

Found = Mapping[str, Mapping[str, Estimate]]

_NOT_ASKED = "how sure that is was not asked for"
_TOO_FEW = "how sure that is can't be said, too few draws of what is not known can be thrown"


def why_better(scenario: Scenario, fastball: str, found: Found, better: Better, reader: Reader) -> tuple[Sentence, ...]:
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

    Returns
    -------
    tuple of Sentence
        Two or three.
    """
    return _Comparison(scenario, fastball, found, better, reader).sentences()


class _Comparison:
    """The first two of compared pitches, in a reader's words."""

    def __init__(self, scenario: Scenario, fastball: str, found: Found, better: Better, reader: Reader) -> None:
        self._better, self._reader = better, reader
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
        second = sentence("{one}; {other}.", one=self._late(self._leader), other=self._late(self._rival))
        return self._first(), second, *self._reason()

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
        one, other = map(self._decisive, (self._leader, self._rival))
        both = self._say(
            "{decides} {one} for {leader} against {other} for {rival}", decides=self._decides, one=one, other=other
        )
        held: dict[str, str | Sentence] = {"both": both, "by": self._difference(), "sure": self._sure()}
        if self._better.pitch is not None:
            return self._say("{leader} is ahead {behind}: {both}, a difference of {by}{sure}.", **held)
        if not self._better.matters:
            return self._say("No difference that matters {behind}: {both}, a difference of {by}{sure}.", **held)
        return self._say("No difference beyond chance {behind}: {both}, a difference of {by}{sure}.", **held)

    def _difference(self) -> str:
        """The difference with its interval: "6.8 points (90 %: 2.1 to 11.3)"."""
        estimate = self._better.difference
        assert estimate is not None  # two are compared
        wording = change_of(QUANTITIES[self._better.measure], self._reader)
        size = wording.amount(estimate.value) if isfinite(estimate.value) else "unknown size"
        if estimate.low is None or estimate.high is None:
            return size
        # in the direction of the difference, whose size is told
        ends = (estimate.low, estimate.high) if estimate.value >= 0.0 else (-estimate.high, -estimate.low)
        low, high = map(wording.signed, ends)
        return f"{size} (90 %: {low} to {high})"

    def _sure(self) -> str:
        chance = self._better.chance_percent
        if chance is not None:
            said = f"{chance:.0f} %" if chance <= 99.0 else "over 99 %"
            return f"; chance {said}" if chance >= SURE_ENOUGH else f"; only {said} sure"
        return f"; {_TOO_FEW if self._better.too_few_draws else _NOT_ASKED}"

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
        value = self._found[pitch][measure].value
        return value_of(QUANTITIES[measure], self._reader).say(value) if isfinite(value) else "unknown"

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
