"""What is wanted of a pitch: the options that reach and goal share."""

from __future__ import annotations

from functools import wraps
from typing import Any, cast

import click

from latebreak.service.cli.options import F, names, no_interval


def wanted_of(function: F) -> F:
    """Add what is wanted of a pitch: --pitch, --measure, --goal, --by, --no-interval; the usual where not given."""

    @wraps(function)
    def filled(*, measure: str | None, goal: str | None, **given: Any) -> Any:
        from latebreak.service.questions.goal import usual_goal  # noqa: PLC0415 - compiles kernels
        from latebreak.service.questions.verdict import MEASURE  # noqa: PLC0415

        measure = MEASURE if measure is None else measure
        return function(measure=measure, goal=usual_goal(measure) if goal is None else goal, **given)

    for option in (
        names("--by", "KEY,KEY", "Levers to try, one at a time; default: speed, spin, axis, aim, spread."),
        click.option(
            "--goal",
            metavar="X",
            help="14.5 or =-3 (a value), +2, -2 or like:PITCH; default: twice what matters, for the mix +1.",
        ),
        click.option(
            "--measure",
            metavar="M",
            help="Key of an estimate of compare, such as late_break_in; default: the whole mix.",
        ),
        click.option("--pitch", default="", metavar="P", help="The pitch that is to reach the goal."),
        no_interval(),
    ):
        filled = option(filled)
    return cast("F", filled)
