"""The answer of `goal` as the table of `reach`, and what to do next month; how far a goal is, session by session."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console
from rich.text import Text

from latebreak.service.quantities import QUANTITIES, Reader, Said, Wording, value_of
from latebreak.service.questions import Answer, Estimate, ReachResult
from latebreak.service.questions.following.kept_goal import KeptRoad
from latebreak.service.questions.following.progress_words import brief_way, progress_said, there_said
from latebreak.service.questions.following.result import GoalProgress, SessionProgress
from latebreak.service.questions.following.shares import on_the_way
from latebreak.service.scenario import Scenario
from latebreak.service.tables import reach
from latebreak.service.tables.layout import Row, prose, show_table
from latebreak.service.tables.page import console
from latebreak.service.wording import clean, quoted

#: Columns of the drawing (chosen: with its words it fits a terminal of 120).
_WIDE = 41


def show(answer: Answer[ReachResult], scenario: Scenario, reader: Reader, written: Path, asked_of: str) -> None:
    """Print what is wanted and the roads, and how the goal is followed; `asked_of` is the scenario as it was named."""
    reach.show(answer, scenario, reader)
    kept = quoted(written)
    follow = f"latebreak fit THROWS.csv --base {quoted(asked_of)} --goal {kept}"
    out = console()
    prose(out, f"Kept in {kept}. How far it is by later throws:", "bold")
    out.print(Text(f"  {follow}", style="bold"), soft_wrap=True)  # to be copied in one piece


def show_progress(result: GoalProgress, scenario: Scenario, reader: Reader, out: Console) -> None:
    """Print how far a goal is: sentences of the last session, then all sessions, drawn and in numbers."""
    kept = result.kept
    out.print()
    prose(out, f"The goal of {kept.date}:", "bold")
    for sentence in progress_said(result, scenario, reader):
        prose(out, str(sentence), indent=2)
    out.print()
    for line in drawn(result, reader):
        out.print(Text(line), soft_wrap=True)
    if not kept.roads:
        return
    out.print()
    heads = ["as written", *(one.session or "now" for one in result.sessions), "wanted"]
    show_table(out, heads, [_row(key, road, result, reader) for key, road in kept.roads.items()])


def _row(key: str, road: KeptRoad, result: GoalProgress, reader: Reader) -> Row:
    wording = value_of(QUANTITIES[key], reader)
    told = [
        wording.estimate(one.levers[key].estimate, brief=True)
        if key in one.levers
        else Said("not told" if one.used else "not thrown")
        for one in result.sessions
    ]
    return QUANTITIES[key].name, [Said(wording.say(road.now)), *told, Said(wording.say(road.wanted))]


def drawn(result: GoalProgress, reader: Reader) -> list[str]:
    """Draw the measure, a line a session: o where it stands, --- its 90 % interval, | where it stood and the goal.

    Parameters
    ----------
    result : GoalProgress
        How far the goal is.
    reader : Reader
        In whose units.
    """
    kept, wording = result.kept, value_of(QUANTITIES[result.kept.measure], reader)
    marks = [kept.now.value, kept.goal.value]
    places = [None if one.measure is None else on_the_way(kept, one.measure) for one in result.sessions]
    ends = [*marks, *(end for one in places if one for end in (one.value, one.low, one.high) if end is not None)]
    low, high = min(ends), max(ends)
    if not any(places) or low == high:
        return []

    def at(value: float) -> int:
        return round((value - low) / (high - low) * (_WIDE - 1))

    def line(place: Estimate | None) -> str:
        row = [" "] * _WIDE
        if place is not None and place.low is not None and place.high is not None:
            first, last = at(place.low), at(place.high)
            row[first : last + 1] = "-" * (last - first + 1)
        for mark in marks:
            row[at(mark)] = "|"
        if place is not None:
            row[at(place.value)] = "o"
        return "".join(row)

    names = [f"{clean(one.session) or 'now'}, {one.used} throw{'s' * (one.used != 1)}" for one in result.sessions]
    stood, wanted = map(wording.say, marks)
    return [
        f"{QUANTITIES[kept.measure].name}: | {stood} as written and {wanted} wanted, o as thrown, --- 90 %",
        *(
            f"{name:<{max(map(len, names))}}  {line(place)}  {_told(one, wording)}"
            for name, place, one in zip(names, places, result.sessions, strict=True)
        ),
    ]


def _told(session: SessionProgress, wording: Wording) -> str:
    one = session.measure
    if one is None:
        return "can't be told" if session.used else "not thrown"
    share, chance = one.share_percent, one.chance_percent
    parts = [wording.say(one.estimate.value), *([] if share is None else [brief_way(share)])]
    return ", ".join([*parts, *([] if chance is None else [f"there: {there_said(chance)}"])])
