"""The page: one file of HTML that shows all that is known about the compared pitches, and asks for nothing."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from math import ceil
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from latebreak.engine.errors import Fault, InputError
from latebreak.service.quantities import QUANTITIES, Reader, Units, value_of
from latebreak.service.questions.answer import Answer
from latebreak.service.questions.compare_words import why_better
from latebreak.service.questions.levers_words import warnings_for, why_leaks
from latebreak.service.questions.reach_words import wanted
from latebreak.service.report.changes import pitch_changes
from latebreak.service.report.figures.palette import DARK, LIGHT
from latebreak.service.report.film import eye_frame, film, mound, plate_frame
from latebreak.service.report.material import Material
from latebreak.service.report.pictures import Pictures, draw
from latebreak.service.report.rows import number_groups, road_rows, step_table
from latebreak.service.report.saving import FIRST_LINE
from latebreak.service.report.sealed import as_data, policy
from latebreak.service.report.words import (
    INTERVALS,
    LIMITS,
    NO_INTERVALS,
    PICTURES,
    left_and_right,
    who_hits,
    who_pitches,
)

#: Pitches that a page can show (chosen: what the eye can tell apart, and what stays below 3 MB).
MOST_PITCHES = 5
#: Pitches of which pictures find room on paper (chosen: two columns on two sheets).
_ON_PAPER = 2

_TEMPLATES = Path(__file__).with_name("templates")


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
    shown = len(material.compared.result.pitches)
    if shown > MOST_PITCHES:
        problem = f"a page shows {MOST_PITCHES} pitches at most, here are {shown}"
        raise InputError([Fault("pitches", problem, "", "name those that it shall show")])
    reader = Reader(units, material.scenario.pitcher.hand)
    pictures = draw(material, units)
    style, script = _style(), _read("player.js")
    sealed = policy(style, script, style_attributes=pictures.has_style_attributes)
    return (
        _environment()
        .get_template("page.html.j2")
        .render(
            **_what_was_asked(material, reader),
            **_what_was_found(material, reader),
            **_player(material, units),
            **_pictures(material, pictures),
            first_line=Markup(FIRST_LINE),
            policy=sealed,
            style=Markup(style),
            script=Markup(script),
        )
    )


def _what_was_asked(material: Material, reader: Reader) -> dict[str, Any]:
    scenario, compared = material.scenario, material.compared
    fastball = compared.result.fastball
    speed = value_of(QUANTITIES["speed_mph"], reader).say(scenario.pitch[fastball].speed_mph)
    throws = f"{compared.throws:,} simulated throws of each pitch"
    measured = " The pitches are those of measured throws." if material.fitted else ""
    return {
        "title": compared.title,
        "version": compared.version,
        "pitches": [*map(scenario.called, compared.result.pitches)],
        "pitch": scenario.called(material.pitch),
        "fastball": scenario.called(fastball),
        "fastball_speed": speed,
        "judged_among": compared.result.judged_among,
        "pitcher": who_pitches(scenario, reader),
        "hitter": who_hits(scenario),
        "made": f"Made by latebreak {compared.version}: {throws}, seed {compared.seed}.{measured}",
    }


def _what_was_found(material: Material, reader: Reader) -> dict[str, Any]:
    scenario = material.scenario
    compared, levers, reached = material.compared, material.levers, material.reached
    heads, steps = step_table(levers.result, reader)
    judged = any(one.low is not None for pitch in compared.result.pitches.values() for one in pitch.values())
    fitted = material.fitted
    return {
        "verdict": why_better(
            scenario,
            compared.result.fastball,
            compared.result.pitches,
            compared.result.better,
            reader,
            compared.result.mixes,
        ),
        "groups": number_groups(compared.result, reader),
        "intervals": INTERVALS if judged else NO_INTERVALS,
        "leaks": why_leaks(scenario, material.pitch, levers.result.leaks, reader),
        "step_heads": heads,
        "steps": steps,
        "wanted": wanted(scenario, reached.result, reader),
        "roads": road_rows(scenario, reached.result, reader),
        "changes": pitch_changes(fitted.result, scenario, reader) if fitted else {},
        "young_arm": compared.cautions,
        "cautions": _each_once(levers.cautions, reached.cautions, compared.cautions),
        "limits": LIMITS,
        "warnings": _warnings(material, reader),
    }


def _warnings(material: Material, reader: Reader) -> list[str]:
    answers: list[Answer[Any]] = [material.compared, material.portrayed, material.levers, material.reached]
    if material.fitted:
        answers.insert(0, material.fitted)
    levers, warnings = material.levers.result, _each_once(*(answer.warnings for answer in answers))
    return warnings_for(material.scenario, levers.pitch, levers.levers, warnings, reader)


def _player(material: Material, units: Units) -> dict[str, Any]:
    scenario, portrayed = material.scenario, material.portrayed.result
    eye = eye_frame(portrayed)
    moments = [track.time_ms[-1] for one in portrayed.pitches.values() for track in (one.thrown, one.beside)]
    left, right = left_and_right(Reader(units, scenario.pitcher.hand))
    return {
        "eye": eye,
        "plate": plate_frame(portrayed),
        "zone": portrayed.zone,
        "mound": mound(portrayed, scenario.field.rubber_to_plate_ft, eye),
        "last_ms": ceil(max(moments)),
        "left_side": left,
        "right_side": right,
        "film": as_data(film(portrayed, material.compared.result, scenario, units)),
    }


def _pictures(material: Material, pictures: Pictures) -> dict[str, Any]:
    return {
        "stills": pictures.stills,
        "kinds": PICTURES,
        "pictures": pictures.of_pitches,
        "bars": pictures.bars,
        "frontier": pictures.frontier,
        "printed": _on_paper(material),
    }


def _on_paper(material: Material) -> list[str]:
    """Pitches whose pictures are printed: all, or of many the one to work on and the leader, in their order."""
    names, better = list(material.compared.result.pitches), material.compared.result.better
    first = [name for name in _each_once((material.pitch, better.pitch or ""), names) if name in names][:_ON_PAPER]
    return [material.scenario.called(name) for name in names if name in first]


def _each_once(*parts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one for part in parts for one in part))


# ---- the parts that are files


@cache
def _read(name: str) -> str:
    return (_TEMPLATES / name).read_text(encoding="utf-8")


@cache
def _style() -> str:
    """Colours of the figures' palette, dark on dark screens and light elsewhere, then the rest."""
    light, dark = (
        ":root{" + "".join(f"{name}:{colour};" for name, colour in palette.variables().items()) + "}"
        for palette in (LIGHT, DARK)
    )
    return f"{light}\n@media screen and (prefers-color-scheme: dark){{{dark}}}\n{_read('page.css')}"


@cache
def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(_TEMPLATES), autoescape=True, undefined=StrictUndefined, keep_trailing_newline=True
    )
