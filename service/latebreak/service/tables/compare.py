"""The answer of `compare` as a table: the verdict, the rows by which a coach decides, and all the others on demand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from rich.console import Console
from rich.text import Text

from latebreak.service.quantities import (
    DECIDING,
    GROUPS,
    MEASURES,
    QUANTITIES,
    Quantity,
    Reader,
    Said,
    change_of,
    value_of,
)
from latebreak.service.questions import Answer, CompareResult, Estimate
from latebreak.service.questions.compare_words import hitter_called, why_better
from latebreak.service.questions.verdict import Better
from latebreak.service.scenario import Scenario
from latebreak.service.tables.layout import Row, items, prose, show_table
from latebreak.service.tables.page import closing, estimates_are, heading, say_found, say_hitter, say_more
from latebreak.service.wording import clean

#: What hitters do with the other pitches of the mix.
_OF_OTHERS = ("swing_percent", "miss_chance_percent", "strike_without_contact_percent")
_ALL_NOTES = (
    "Swings, strikes and balls are of all pitches thrown. Tunnel: left where what he sees is no fastball of this "
    "pitcher's any more. Path gap: beside the fastball aimed at its own target; at the commit point when both are as "
    "far from the plate. Whole mix: hitters expect what is thrown, and have this pitch in mind in place of the other "
    "compared ones.",
)


def show(answer: Answer[CompareResult], scenario: Scenario, reader: Reader, *, whole: bool = False) -> None:
    """Print the verdict and the table; `whole` with every measure."""
    out, result = heading(answer, scenario, reader), answer.result
    say_hitter(scenario, result.fastball, result.judged_among, reader, out)
    pitches = result.pitches
    say_found(why_better(scenario, result.fastball, pitches, result.better, reader, result.mixes, result.hitters), out)
    every = rows(pitches)
    shown = every if whole else deciding(every, result.better.measure)
    names = [scenario.called(name) for name in pitches]
    show_table(out, names, list(_grouped(shown, pitches, reader) if whole else _rows(shown, pitches, reader)))
    if whole:
        show_mixes(result, scenario, reader, out)
    show_counts(result, scenario, reader, out)
    show_hitters(result, scenario, reader, out, whole=whole)
    say_more(len(every) - len(shown), "rows", out)
    judged = any(estimate.low is not None for estimates in pitches.values() for estimate in estimates.values())
    closing(answer, out, (estimates_are(judged), *(_ALL_NOTES if whole else ())))


def deciding(measures: Iterable[Quantity], measure: str) -> list[Quantity]:
    """Return the measures by which pitches are told apart, the one that decides first."""
    held = {one.key: one for one in measures}
    return [held[key] for key in dict.fromkeys((measure, *DECIDING)) if key in held]


def _grouped(shown: Iterable[Quantity], pitches: Mapping[str, Mapping[str, Estimate]], reader: Reader) -> Iterator[Row]:
    """Give rows below the questions that they answer."""
    shown = list(shown)
    for question, measures in GROUPS.items():
        group = [measure for measure in measures if measure in shown]
        if group:
            yield question, ()
            yield from _rows(group, pitches, reader, parts=True)


def _rows(
    measures: Iterable[Quantity],
    pitches: Mapping[str, Mapping[str, Estimate]],
    reader: Reader,
    *,
    parts: bool = False,
) -> Iterator[Row]:
    """Give a row for each measure; with `parts`, one that says the row above in another way begins so."""
    for measure in measures:
        label = f"  {measure.part}" if parts and measure.part else measure.name
        yield label, [say(measure, estimates, reader, brief=True) for estimates in pitches.values()]


def show_mixes(result: CompareResult, scenario: Scenario, reader: Reader, out: Console) -> None:
    """Print what hitters do with the other pitches when they have a compared one in mind."""
    names = [scenario.called(name) for name in result.mixes]
    for other in dict.fromkeys(name for mix in result.mixes.values() for name in mix):
        held: list[Row] = [(f"{scenario.called(other)}, with this pitch in mind", ())]
        for key in _OF_OTHERS:
            wording = value_of(QUANTITIES[key], reader)
            estimates = (mix[other][key] for mix in result.mixes.values())
            held.append((QUANTITIES[key].name, [wording.estimate(one, brief=True) for one in estimates]))
        out.print()
        show_table(out, names, held)


def show_counts(result: CompareResult, scenario: Scenario, reader: Reader, out: Console) -> None:
    """Print the measure that decides at each count."""
    if not result.counts:
        return
    measure = QUANTITIES[result.better.measure]
    wording = value_of(measure, reader)
    out.print()
    prose(out, f"{measure.brief}, by count (balls-strikes)", "bold")
    held = [
        (count, [wording.estimate(estimates[name], brief=True) for name in result.pitches])
        for count, estimates in result.counts.items()
    ]
    show_table(out, [scenario.called(name) for name in result.pitches], held)


def show_hitters(result: CompareResult, scenario: Scenario, reader: Reader, out: Console, *, whole: bool) -> None:
    """Print the verdict before each hitter; `whole` with the measure of each pitch before him."""
    if not result.hitters:
        return
    measure = QUANTITIES[result.better.measure]
    out.print()
    prose(out, f"{measure.brief}, by hitter", "bold")
    items(out, ((hitter_called(one), Text(ahead_of(one.better, scenario, reader))) for one in result.hitters))
    if whole:
        wording, names = value_of(measure, reader), list(result.pitches)
        held = [
            (hitter_called(one), [wording.estimate(one.pitches[name], brief=True) for name in names])
            for one in result.hitters
        ]
        show_table(out, list(map(scenario.called, names)), held)


def ahead_of(better: Better, scenario: Scenario, reader: Reader) -> str:
    """Say who leads, by how much and how sure that is: "spike ahead: 1.9 points (90 %: 0.9 to 3.3; chance 92 %)"."""
    who = "no difference" if better.pitch is None else f"{clean(scenario.called(better.pitch))} ahead"
    if better.difference is None:
        return who
    wording = change_of(QUANTITIES[better.measure], reader)
    return f"{who}: {wording.difference(better.difference, better.chance_percent)}"


def rows(pitches: Mapping[str, Mapping[str, Estimate]]) -> list[Quantity]:
    """Return the measures that have a row, in the order of the vocabulary: those that the answer has."""
    held = {key for estimates in pitches.values() for key in estimates}
    return [measure for measure in MEASURES if measure.has_row and measure.key in held]


def happens(event: str, estimates: Mapping[str, Estimate]) -> bool:
    """Tell whether an event happens to the median throw."""
    return estimates[f"{event}_reached_percent"].value >= 50.0


def say(measure: Quantity, estimates: Mapping[str, Estimate], reader: Reader, *, brief: bool = False) -> Said:
    """Say a measure of a pitch, or that its event does not happen."""
    if measure.event and not happens(measure.event, estimates):
        return Said(measure.never)
    return value_of(measure, reader).estimate(estimates[measure.key], brief=brief)
