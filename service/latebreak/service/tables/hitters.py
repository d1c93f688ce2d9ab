"""The answer of `hitters` as tables."""

from __future__ import annotations

from math import isnan
from pathlib import Path

from rich.console import Console
from rich.table import Table
from rich.text import Text

from latebreak.perception.parameters import parameter_table
from latebreak.service.quantities import Reader
from latebreak.service.questions import Answer, HittersResult
from latebreak.service.questions.answer import Estimate
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.model import HitterParameters
from latebreak.service.tables.page import closing, console
from latebreak.service.wording import clean

#: Most rows that are listed as not used.
_MOST_FLAGS = 10


def show(answer: Answer[HittersResult], scenario: Scenario, reader: Reader, written: Path | None) -> None:
    """Print what the swings taught; `scenario` is the base, `written` the file that holds the taught hitters."""
    out, result = console(), answer.result
    rows = result.rows
    out.print(Text(clean(answer.title), style="bold"))
    against = f"{result.level.replace('_', ' ')} hitters against a {scenario.pitcher.hand}-hander"
    out.print(Text(f"{against}; {rows['read']:,} rows read, {rows['used']:,} used, {rows['left_out']:,} left out"))
    for sentence in result.why:
        out.print(Text(sentence, style="bold"))
    _predictions(result, out)
    _parameters(result, reader, out)
    _flagged(result, out)
    out.print()
    if written is None:
        out.print(Text("The taught hitters are not written: -o FILE.toml writes them.", style="bold"))
    else:
        name = clean(str(written))
        out.print(
            Text(f'Wrote {name}; a scenario beside it uses it: [hitter] file = "{clean(written.name)}"', style="bold")
        )
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
    title = f"{held_out.days} days that were held out, {held_out.pitches:,} pitches, {held_out.swings:,} swings"
    table = Table(show_edge=False, pad_edge=False, header_style="bold")
    table.add_column(title)
    for column in ("swing: log loss", "area", "miss: log loss", "area"):
        table.add_column(column, justify="right")
    for name, one in held_out.predictions.items():
        table.add_row(name, *map(_share, (one.swing_log_loss, one.swing_area, one.miss_log_loss, one.miss_area)))
    out.print(table)


def _share(value: float) -> str:
    return "" if isnan(value) else f"{value:.3f}".removeprefix("0")


def _parameters(result: HittersResult, reader: Reader, out: Console) -> None:
    out.print()
    meanings = parameter_table()["parameter"]
    table = Table(show_edge=False, pad_edge=False, header_style="bold")
    table.add_column("parameter")
    for column in ("before", "now", "moved by SDs", "sure"):
        table.add_column(column, justify="right")
    order = sorted(result.parameters.items(), key=lambda item: -abs(item[1].moved_sd))
    for key, one in order:
        table.add_row(
            Text(meanings[key]["meaning"]),
            _said(key, one.before, reader),
            _said(key, one.now, reader),
            f"{one.moved_sd:+.1f}",
            f"{max(0.0, 100.0 - one.sd_left_percent):.0f} %",
        )
    out.print(table)


def _said(key: str, estimate: Estimate, reader: Reader) -> Text:
    """Word a parameter with its interval, in the reader's unit."""
    unit = HitterParameters.ranges()[key].unit
    factor, symbol = 1.0, unit.symbol
    if reader.units == "metric" and symbol == "in":
        factor, symbol = 2.54, "cm"
    value, low, high = (f"{factor * (number or 0.0):.3g}" for number in (estimate.value, estimate.low, estimate.high))
    return Text(f"{value} {symbol}".rstrip()).append(f" ({low} to {high})", style="dim")


def _flagged(result: HittersResult, out: Console) -> None:
    if not result.flagged:
        return
    out.print()
    out.print(Text("Not used:", style="bold"))
    for one in result.flagged[:_MOST_FLAGS]:
        flag = one.flag
        what = "row" if flag.left_out else clean(flag.key)
        out.print(Text(f"  line {flag.line}, {clean(flag.pitch) or 'no pitch'}, {what}: {clean(flag.reason)}"))
    more = len(result.flagged) - _MOST_FLAGS
    if more > 0:
        out.print(Text(f"  and {more:,} more; --json names them all"))
