"""The questions about a scenario: each takes the same options and its own, and hands on what was given."""

from __future__ import annotations

from typing import Any

import click

from latebreak.service.cli.options import (
    ask,
    asks,
    at_server,
    in_full,
    in_park,
    in_table,
    in_units,
    names,
    no_interval,
    tell,
)
from latebreak.service.cli.wanted import wanted_of
from latebreak.service.quantities import Units


def _question(name: str, words: str, says: str, *own: Any, in_parts: bool = True) -> click.Command:
    """Make the command of a question.

    Parameters
    ----------
    name, words : str
        The question, and what is going on meanwhile.
    says : str
        The help.
    *own : decorators
        Options besides those that every question has, each handed on by the name that it has in the question.
    in_parts : bool
        Whether its table shows what matters first, and all of it only with --all.
    """

    def run(scenario: str, as_json: bool, units: Units, **given: Any) -> None:
        how = {"whole": given.pop("whole")} if in_parts else {}
        answer, of = ask(name, words, scenario, **given)
        tell(answer, of, units, as_json=as_json, **how)

    decorators = (asks, in_table, in_units, *([in_full] if in_parts else []), at_server, in_park, *own)
    function: Any = run
    for decorate in reversed(decorators):
        function = decorate(function)
    return click.command(name, help=says)(function)


fly = _question("fly", "flying", "Say where these pitches go: time, place, breaks, approach, and how they scatter.")

compare = _question(
    "compare",
    "comparing",
    "Say which of these is harder to hit behind this fastball, what it does for the mix, and how sure that is.",
    names("--pitches", "A,B", "Pitches to compare; default: all that are no fastballs."),
    click.option("--by", metavar="MEASURE", help="Key of the measure that decides; default: that of the whole mix."),
    click.option(
        "--count", metavar="B-S", help="Balls and strikes before the pitch, such as 0-2; default: all counts."
    ),
    click.option("--counts", is_flag=True, help="Tell the measure that decides at each count too."),
    click.option("--hitters", is_flag=True, help="Decide before right and left, first look to well known, too."),
    no_interval("Leave out intervals and the chance of the lead; faster."),
)

aim = _question(
    "aim",
    "aiming",
    "Say where a pitch should be aimed, given how it scatters, and what a ball's width costs.",
    click.option("--pitch", default="", metavar="P", help="The pitch that is to be aimed."),
    click.option("--measure", metavar="M", help="Key of a measure of compare; default: strikes without contact."),
    no_interval(),
)

mix = _question(
    "mix",
    "mixing",
    "Say how often each pitch should be thrown when hitters come to expect what is thrown.",
    no_interval(),
)

levers = _question(
    "levers",
    "stepping",
    "Say what a step on each lever of a pitch does to each measure, and where the leak is.",
    click.option("--pitch", default="", metavar="P", help="The pitch whose levers are tried."),
    click.option(
        "--measure", metavar="M", help="The one measure that is wanted, as compare --json names it; default: all."
    ),
    no_interval(),
)

reach = _question(
    "reach",
    "searching",
    "Say how much speed, spin or a cleaner axis a pitch needs until a measure reaches a goal.",
    wanted_of,
    in_parts=False,
)
