"""Why one pitch is missed more than another, in plain sentences."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import isfinite

from latebreak.service.judging.estimates import Estimate
from latebreak.service.quantities import HIDES, QUANTITIES, Name, Reader, Sentence, sentence, value_of
from latebreak.service.questions.verdict import MEASURE, SURE_ENOUGH, Better, ranked
from latebreak.service.scenario import Scenario

Found = Mapping[str, Mapping[str, Estimate]]

_NOT_ASKED = "how sure that is was not asked for"
_TOO_FEW = "how sure that is can't be said, too few draws of what is not known can be thrown"


def why_better(scenario: Scenario, fastball: str, found: Found, better: Better, reader: Reader) -> tuple[Sentence, ...]:
    """Say which pitch is missed more, how sure that is, and what speaks for and against it.

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
        order = ranked(found)
        self._alone = len(order) == 1
        self._leader, self._rival = order[0], order[-1] if self._alone else order[1]
        self._found = {key: found[key] for key in order[:2]}
        self._names = {key: Name(scenario.called(key)) for key in order[:2]}
        speed = value_of(QUANTITIES["speed_mph"], reader).say(scenario.pitch[fastball].speed_mph)
        self._behind = sentence("behind the {speed} {fastball}", speed=speed, fastball=Name(scenario.called(fastball)))

    def sentences(self) -> tuple[Sentence, ...]:
        looks = self._looks(self._leader)
        if self._alone:
            pattern = "{leader}, the only pitch compared, is missed on {missed} of swings {behind}."
            return self._say(pattern, missed=self._missed(self._leader)), sentence("{looks}.", looks=looks)
        second = sentence("{one}; {other}.", one=looks, other=self._looks(self._rival))
        return self._first(), second, *self._reason()

    def _say(self, pattern: str, **held: str | Sentence) -> Sentence:
        names: dict[str, str | Sentence] = {
            "leader": self._names[self._leader],
            "rival": self._names[self._rival],
            "behind": self._behind,
        }
        return sentence(pattern, **names, **held)

    def _first(self) -> Sentence:
        one, other = map(self._missed, (self._leader, self._rival))
        both = self._say("{one} of swings against {other} for {rival}", one=one, other=other)
        chance = self._better.chance_percent
        if chance is None and self._better.pitch is None:
            return self._say("No difference {behind}: {leader} is missed on {both}.", both=both)
        if chance is None:
            why_not = _TOO_FEW if self._better.too_few_draws else _NOT_ASKED
            return self._say("{leader} is missed more {behind}: {both}; {why_not}.", both=both, why_not=why_not)
        said = f"{chance:.0f} %"
        if chance >= SURE_ENOUGH:
            return self._say("{leader} is missed more {behind}: {both} (chance {chance}).", both=both, chance=said)
        return self._say(
            "No difference beyond chance {behind}: {leader} is missed on {both} (chance {chance} that {leader} is "
            "missed more).",
            both=both,
            chance=said,
        )

    def _reason(self) -> tuple[Sentence, ...]:
        """What speaks against the leader, or for it in every way; nothing where neither shows in the digits."""
        leads = self._better.pitch is not None
        hides, late = self._favours(f"{HIDES}_ft"), self._favours("late_break_in")
        against = ["{rival} looks like the fastball longer"] * (hides < 0)
        against += ["{rival} has the larger late break"] * (late < 0)
        if against and leads:
            pattern = f"The measures disagree: {' and '.join(against)}; {{leader}} is missed more because {{unusual}}."
            return (self._say(pattern, unusual=self._unusual()),)
        if leads and hides > 0 and late > 0:
            return (self._say("So {leader} is ahead in all three: misses, hiding and late break."),)
        return ()

    def _favours(self, key: str) -> int:
        """Whether a measure is better of the leader, 1, or of the rival, -1, in the digits that are printed."""
        quantity = QUANTITIES[key]
        shown = [round(self._value(pitch, key), quantity.digits) for pitch in (self._leader, self._rival)]
        return quantity.favours(shown[0] - shown[1])

    def _unusual(self) -> str:
        """Which of the hitter's errors is larger for the leader, in the digits that are printed."""
        for key, what in (("arrival_surprise_rms_in", "its arrival"), ("timing_surprise_ms", "its time")):
            wording, digits = value_of(QUANTITIES[key], self._reader), QUANTITIES[key].digits
            sizes = [abs(self._value(pitch, key)) for pitch in (self._leader, self._rival)]
            if round(sizes[0], digits) > round(sizes[1], digits):
                return (
                    f"{what} is farther from what the hitter expects ({' against '.join(map(wording.amount, sizes))})"
                )
        return "its scatter and what the hitter expects of it weigh more"

    def _value(self, pitch: str, key: str) -> float:
        value = self._found[pitch][key].value
        return value if isfinite(value) else 0.0

    def _missed(self, pitch: str) -> str:
        value = self._found[pitch][MEASURE].value
        return value_of(QUANTITIES[MEASURE], self._reader).say(value) if isfinite(value) else "an unknown share"

    def _looks(self, pitch: str) -> Sentence:
        estimates = self._found[pitch]
        until = "all the way to the plate"
        if estimates[f"{HIDES}_reached_percent"].value > 0.0:
            key = f"{HIDES}_ft"
            until = f"until {value_of(QUANTITIES[key], self._reader).say(estimates[key].value)}"
        late, share = estimates["late_break_in"].value, estimates["late_break_share_percent"].value
        held: dict[str, str] = {"name": self._names[pitch], "until": until}
        if not isfinite(late):
            return sentence("{name} looks like the fastball {until}, and no throw of it arrived", **held)
        of_break = replace(value_of(QUANTITIES["late_break_share_percent"], self._reader), digits=0)
        return sentence(
            "{name} looks like the fastball {until} and still breaks {late} after the commit point{share}",
            **held,
            late=value_of(QUANTITIES["late_break_in"], self._reader).say(late),
            share=f" ({of_break.say(share)} of its break)" if isfinite(share) else "",
        )
