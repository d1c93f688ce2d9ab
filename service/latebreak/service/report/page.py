"""The page and the sheet for the locker: one file of HTML each, which asks for nothing."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite
from typing import Any

from markupsafe import Markup

from latebreak.engine.errors import Fault, InputError
from latebreak.service.quantities import QUANTITIES, Reader, Said, Units, value_of
from latebreak.service.questions.aim_words import why_there
from latebreak.service.questions.answer import Answer
from latebreak.service.questions.compare_words import why_better
from latebreak.service.questions.following.progress_words import progress_said
from latebreak.service.questions.leaks import MEASURE as LEAKS_COST
from latebreak.service.questions.levers_words import warnings_for, why_leaks
from latebreak.service.questions.mix_words import why_so
from latebreak.service.report.changes import pitch_changes
from latebreak.service.report.filling import fill, read, style_of
from latebreak.service.report.film import WIDTH, film
from latebreak.service.report.material import Material
from latebreak.service.report.pictures import draw, draw_timeline
from latebreak.service.report.roads import WIDTH as ROAD_WIDTH
from latebreak.service.report.roads import work_on
from latebreak.service.report.rows import number_groups, road_rows, step_table
from latebreak.service.report.saving import FIRST_LINE
from latebreak.service.report.sealed import as_data, policy
from latebreak.service.report.words import (
    INTERVALS,
    LIMITS,
    NO_INTERVALS,
    PICTURES,
    THREE,
    verdict,
    who_hits,
    who_pitches,
)

#: Pitches that a page can show (chosen: what the eye can tell apart, and what stays below 3 MB).
MOST_PITCHES = 5


def render(material: Material, units: Units = "us") -> str:
    """Make the page.

    Parameters
    ----------
    material : Material
        The answers that it shows.
    units : {"us", "metric"}
        Of every number, figure and sentence on it.

    Returns
    -------
    str
        HTML, whole in itself: style, script, pictures and data are inside.

    Raises
    ------
    InputError
        There are more pitches than a page can show.
    """
    _check(material)
    reader = Reader(units, material.scenario.pitcher.hand)
    pictures, style, script = draw(material, units), style_of("page.css"), read("player.js")
    moving = film(material.portrayed.result, material.compared.result.pitches, material.scenario, reader)
    return fill(
        "page.html.j2",
        **_in_short(material, reader),
        **_numbers(material, reader),
        timeline=pictures.timeline,
        kinds=PICTURES,
        pictures=pictures.of_pitches,
        aim=pictures.aim,
        mix=pictures.mix,
        goal=pictures.goal,
        film=moving,
        film_width=WIDTH,
        data=as_data(moving.data),
        zone=material.portrayed.result.zone,
        policy=policy(style, script, style_attributes=pictures.has_style_attributes),
        style=Markup(style),
        script=Markup(script),
    )


def render_card(material: Material, units: Units = "us") -> str:
    """Make the sheet for the locker: one side of paper, A4 or Letter, black and white.

    Parameters
    ----------
    material, units
        As for the page.

    Raises
    ------
    InputError
        There are more pitches than a sheet can show.
    """
    _check(material)
    style, timeline = style_of("card.css"), draw_timeline(material, units)
    return fill(
        "card.html.j2",
        **_in_short(material, Reader(units, material.scenario.pitcher.hand)),
        timeline=timeline,
        policy=policy(style, "", style_attributes=' style="' in timeline),
        style=Markup(style),
    )


def _check(material: Material) -> None:
    shown = len(material.compared.result.pitches)
    if shown > MOST_PITCHES:
        problem = f"a page shows {MOST_PITCHES} pitches at most, here are {shown}"
        raise InputError([Fault("pitches", problem, "", "name those that it shall show")])


def _in_short(material: Material, reader: Reader) -> dict[str, Any]:
    """What stands on the page and on the sheet."""
    scenario, compared, fitted = material.scenario, material.compared, material.fitted
    result = compared.result
    speed = value_of(QUANTITIES["speed_mph"], reader).say(scenario.pitch[result.fastball].speed_mph)
    changes = pitch_changes(fitted.result, scenario, reader, material.pitch) if fitted else {}
    measured = " The pitches are those of measured throws." if fitted else ""
    throws = f"{compared.throws:,} simulated throws of each pitch"
    return {
        "first_line": Markup(FIRST_LINE),
        "title": compared.title,
        "version": compared.version,
        "pitches": [*map(scenario.called, result.pitches)],
        "pitch": scenario.called(material.pitch),
        "fastball": scenario.called(result.fastball),
        "fastball_speed": speed,
        "pitcher": who_pitches(scenario, reader),
        "hitter": who_hits(scenario),
        "verdict": verdict(scenario, result),
        "changes": changes,
        "work": work_on(scenario, material.reached.result, reader),
        "road_width": ROAD_WIDTH,
        "young_arm": compared.cautions,
        "cautions": _each_once(material.reached.cautions, material.levers.cautions, compared.cautions),
        "made": f"Made by latebreak {compared.version}: {throws}, seed {compared.seed}.{measured}",
    }


def _numbers(material: Material, reader: Reader) -> dict[str, Any]:
    """What stands on the page alone."""
    scenario, compared, levers = material.scenario, material.compared.result, material.levers
    heads, steps = step_table(levers.result, reader)
    judged = any(one.low is not None for pitch in compared.pitches.values() for one in pitch.values())
    mixed, reached, fitted = material.mixed, material.reached.result, material.fitted
    followed = fitted.result.goal if fitted else None
    costs = reached.measure if QUANTITIES[reached.measure].better else LEAKS_COST
    answers: list[Answer[Any]] = [material.compared, material.portrayed, levers, material.reached, material.aimed]
    answers += [] if mixed is None else [mixed]
    warnings = _each_once(*(answer.warnings for answer in answers))
    return {
        "judged_among": compared.judged_among,
        "three": THREE,
        "three_of": {scenario.called(key): _three(pitch) for key, pitch in compared.pitches.items()},
        "groups": number_groups(compared, reader),
        "intervals": INTERVALS if judged else NO_INTERVALS,
        "why": why_better(scenario, compared.fastball, compared.pitches, compared.better, reader, compared.mixes)[1:],
        "leaks": why_leaks(scenario, material.pitch, levers.result.leaks, reader, costs),
        "step_heads": heads,
        "steps": steps,
        "aim_words": why_there(scenario, material.aimed.result, reader),
        "mix_words": () if mixed is None else why_so(scenario, mixed.result, reader),
        "goal_words": progress_said(followed, scenario, reader) if followed else (),
        "roads": road_rows(reached, reader),
        "limits": LIMITS,
        "warnings": warnings_for(scenario, levers.result.pitch, levers.result.levers, warnings, reader),
    }


def _three(estimates: Any) -> list[Said]:
    """The three numbers of a pitch: whole numbers of a hundred."""
    told = []
    for key in THREE:
        one = estimates[key]
        known = one.low is not None and one.high is not None and isfinite(one.low + one.high)
        value = f"{one.value:.0f}" if isfinite(one.value) else "none"
        told.append(Said(value, f"{one.low:.0f} to {one.high:.0f}" if known else ""))
    return told


def _each_once(*parts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one for part in parts for one in part))
