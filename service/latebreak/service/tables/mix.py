"""The answer of `mix` as a table: today's mix and the best, and what a mix is worth against the share of each pitch."""

from __future__ import annotations

from latebreak.service.quantities import QUANTITIES, Reader, Said, value_of
from latebreak.service.questions import Answer, MixResult
from latebreak.service.questions.mix_words import why_so
from latebreak.service.scenario import Scenario
from latebreak.service.tables.layout import Row, prose, show_table
from latebreak.service.tables.page import closing, estimates_are, heading, say_found, say_more

_SHARES = range(0, 101, 10)


def show(answer: Answer[MixResult], scenario: Scenario, reader: Reader, *, whole: bool = False) -> None:
    """Print the best mix; `whole` with the curves."""
    out, result = heading(answer, scenario, reader), answer.result
    hitter = scenario.hitter
    level = hitter.level.replace("_", " ")
    prose(out, f"{level} hitter, bats {hitter.bats}, familiarity {hitter.familiarity:g}, who knows the shares")
    say_found(why_so(scenario, result, reader), out)
    wording, both = value_of(QUANTITIES[result.measure], reader), (result.today, result.best)
    rows: list[Row] = []
    for name in result.best.shares_percent:
        cells = []
        for one in both:
            cells += [Said(f"{one.shares_percent[name]:.3g} %"), wording.estimate(one.pitches[name], brief=True)]
        rows.append((scenario.called(name), cells))
    today, best = (wording.estimate(one.estimate, brief=True) for one in both)
    rows.append(("the whole mix", [Said("100 %"), today, Said("100 %"), best]))
    of_pitch = QUANTITIES[result.measure].name.partition(",")[0]
    show_table(out, ["today", f"{of_pitch} today", "best", f"{of_pitch} then"], rows)
    if whole:
        out.print()
        prose(out, "The whole mix by the share of one pitch, the others in the proportions of the best mix:")
        curves = [
            (scenario.called(name), dict(zip(curve.share_percent, curve.value, strict=True)))
            for name, curve in result.curves.items()
        ]
        held = [
            (f"{share} %", [Said(wording.say(curve[share]) if share in curve else "-") for _, curve in curves])
            for share in _SHARES
        ]
        show_table(out, [name for name, _ in curves], held)
    else:
        say_more(len(_SHARES), "rows: the mix by the share of each pitch", out)
    judged = result.best.estimate.low is not None
    closing(
        answer,
        out,
        (
            f"{estimates_are(judged)} Shares are both what is thrown and what hitters expect, over all counts and in "
            "steps of 5 %; a pitch is worth its strikes without contact, whatever it does to the arm; nobody tires.",
        ),
    )
