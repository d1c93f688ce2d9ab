"""The answer of `hitters` as tables."""

from __future__ import annotations

from math import isnan
from pathlib import Path

from rich.console import Console

from latebreak.perception.parameters import parameter_table
from latebreak.service.quantities import Reader, Said
from latebreak.service.questions import Answer, HittersResult
from latebreak.service.questions.answer import Estimate
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.model import HitterParameters
from latebreak.service.tables.layout import prose, show_table
from latebreak.service.tables.page import closing, console, say_flagged, say_more
from latebreak.service.wording import clean, quoted

#: Most rows that are listed as not used, and parameters that come first.
_MOST_FLAGS, _MOST_PARAMETERS = 10, 5


def show(
    answer: Answer[HittersResult], scenario: Scenario, reader: Reader, written: Path | None, *, whole: bool = False
) -> None:
    """Print what the swings taught; `scenario` is the base, `written` the file that holds the taught hitters.

    `whole`: with every parameter.
    """
    out, result = console(), answer.result
    rows = result.rows
    prose(out, clean(answer.title), "bold")
    against = f"{result.level.replace('_', ' ')} hitters against a {scenario.pitcher.hand}-hander"
    prose(out, f"{against}; {rows['read']:,} rows read, {rows['used']:,} used, {rows['left_out']:,} left out")
    for sentence in result.why:
        prose(out, sentence, "bold")
    _predictions(result, out)
    _parameters(result, reader, out, whole=whole)
    say_flagged(result.flagged, out, _MOST_FLAGS)
    out.print()
    if written is None:
        prose(out, "The taught hitters are not written: -o FILE.toml writes them.", "bold")
    else:
        used = f'[hitter] file = "{clean(written.name)}"'
        prose(out, f"Wrote {quoted(written)}; a scenario beside it uses it: {used}", "bold")
    closing(
        answer,
        out,
        (
            "Log loss: what the events cost at the chances that were given them, a coin's .693; less is better. Area: "
            "chance that what happened was given more chance than what did not; .5 knows nothing, 1 everything.",
            "In brackets the 90 % interval. Sure: how much of the doubt about a parameter the swings took away.",
        ),
    )


def _predictions(result: HittersResult, out: Console) -> None:
    held_out = result.held_out
    if held_out is None:
        return
    out.print()
    days = f"{held_out.days} days that were held out, {held_out.pitches:,} pitches, {held_out.swings:,} swings:"
    prose(out, days)
    rows = [
        (name, list(map(_share, (one.swing_log_loss, one.swing_area, one.miss_log_loss, one.miss_area))))
        for name, one in held_out.predictions.items()
    ]
    show_table(out, ("swing: log loss", "swing: area", "miss: log loss", "miss: area"), rows)


def _share(value: float) -> Said:
    return Said("" if isnan(value) else f"{value:.3f}".removeprefix("0"))


def _parameters(result: HittersResult, reader: Reader, out: Console, *, whole: bool) -> None:
    out.print()
    meanings = parameter_table()["parameter"]
    order = sorted(result.parameters.items(), key=lambda item: -abs(item[1].moved_sd))
    first = order if whole else order[:_MOST_PARAMETERS]
    rows = [
        (
            meanings[key]["meaning"],
            [
                _said(key, one.before, reader),
                _said(key, one.now, reader),
                Said(f"{one.moved_sd:+.1f}"),
                Said(f"{max(0.0, 100.0 - one.sd_left_percent):.0f} %"),
            ],
        )
        for key, one in first
    ]
    show_table(out, ("before", "now", "moved by SDs", "sure"), rows)
    say_more(len(order) - len(first), "parameters", out)


def _said(key: str, estimate: Estimate, reader: Reader) -> Said:
    """Word a parameter with its interval, in the reader's unit."""
    unit = HitterParameters.ranges()[key].unit
    factor, symbol = 1.0, unit.symbol
    if reader.units == "metric" and symbol == "in":
        factor, symbol = 2.54, "cm"
    value, low, high = (f"{factor * (number or 0.0):.3g}" for number in (estimate.value, estimate.low, estimate.high))
    return Said(f"{value} {symbol}".rstrip(), f"{low} to {high}")
