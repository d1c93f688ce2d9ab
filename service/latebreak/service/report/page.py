"""The page: one file of HTML that shows all that is known about the compared pitches, and asks for nothing."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache, partial
from math import ceil
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from latebreak.engine.errors import Fault, InputError
from latebreak.service.questions.answer import Answer
from latebreak.service.report.changes import pitch_changes
from latebreak.service.report.figures.palette import DARK, LIGHT
from latebreak.service.report.film import eye_frame, film, mound, plate_frame
from latebreak.service.report.material import Material
from latebreak.service.report.numbers import number_groups
from latebreak.service.report.pictures import Pictures, draw
from latebreak.service.report.roads import road_rows, wanted
from latebreak.service.report.saving import FIRST_LINE
from latebreak.service.report.sealed import as_data, policy
from latebreak.service.report.steps import step_table
from latebreak.service.report.words import (
    INTERVALS,
    LIMITS,
    NO_INTERVALS,
    PICTURES,
    left_and_right,
    who_hits,
    who_pitches,
)
from latebreak.service.units import Units, sentence

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
    names = tuple(material.compared.result.pitches)
    if len(names) > MOST_PITCHES:
        problem = f"a page shows {MOST_PITCHES} pitches at most, here are {len(names)}"
        raise InputError([Fault("pitches", problem, "", "name those that it shall show")])
    pictures = draw(material, units)
    style, script = _style(), _read("player.js")
    sealed = policy(style, script, style_attributes=pictures.has_style_attributes)
    return (
        _environment()
        .get_template("page.html.j2")
        .render(
            **_what_was_asked(material, units),
            **_what_was_found(material, units),
            **_player(material, units),
            **_pictures(material, pictures),
            first_line=Markup(FIRST_LINE),
            pieces=partial(_pieces, names),
            policy=sealed,
            style=Markup(style),
            script=Markup(script),
        )
    )


def _what_was_asked(material: Material, units: Units) -> dict[str, Any]:
    scenario, compared = material.scenario, material.compared
    fastball = compared.result.fastball
    speed = f"{scenario.pitch[fastball].speed_mph:.1f} mph"
    throws = f"{compared.throws:,} simulated throws of each pitch"
    measured = " The pitches are those of measured throws." if material.fitted else ""
    return {
        "title": compared.title,
        "version": compared.version,
        "pitches": list(compared.result.pitches),
        "pitch": material.pitch,
        "fastball": fastball,
        "fastball_speed": sentence(speed, units),
        "judged_among": compared.result.judged_among,
        "pitcher": sentence(who_pitches(scenario), units),
        "hitter": sentence(who_hits(scenario), units),
        "made": f"Made by latebreak {compared.version}: {throws}, seed {compared.seed}.{measured}",
    }


def _what_was_found(material: Material, units: Units) -> dict[str, Any]:
    hand = material.scenario.pitcher.hand
    compared, levers, reached = material.compared, material.levers, material.reached
    heads, steps = step_table(levers.result, hand, units)
    judged = any(one.low is not None for pitch in compared.result.pitches.values() for one in pitch.values())
    fitted = material.fitted
    return {
        "verdict": [sentence(one, units) for one in compared.result.why],
        "groups": number_groups(compared.result, hand, units),
        "intervals": INTERVALS if judged else NO_INTERVALS,
        "leaks": [sentence(one, units) for one in levers.result.why],
        "step_heads": heads,
        "steps": steps,
        "wanted": wanted(reached.result, hand, units),
        "roads": road_rows(reached.result, hand, units),
        "changes": pitch_changes(fitted.result, hand, units) if fitted else {},
        "young_arm": compared.cautions,
        "cautions": _each_once(levers.cautions, reached.cautions, compared.cautions),
        "limits": LIMITS,
        "warnings": [sentence(one, units) for one in _warnings(material)],
    }


def _warnings(material: Material) -> tuple[str, ...]:
    answers: list[Answer[Any]] = [material.compared, material.portrayed, material.levers, material.reached]
    if material.fitted:
        answers.insert(0, material.fitted)
    return _each_once(*(answer.warnings for answer in answers))


def _player(material: Material, units: Units) -> dict[str, Any]:
    scenario, portrayed = material.scenario, material.portrayed.result
    eye = eye_frame(portrayed)
    moments = [track.time_ms[-1] for one in portrayed.pitches.values() for track in (one.thrown, one.beside)]
    left, right = left_and_right(scenario.pitcher.hand)
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
    return [name for name in names if name in first]


def _pieces(names: Sequence[str], text: str) -> Iterator[tuple[str, bool]]:
    """Cut a sentence at the names of pitches; a piece comes with whether it is a name."""
    longest_first = sorted(names, key=len, reverse=True)
    cuts = re.split(rf"(?<!\w)({'|'.join(map(re.escape, longest_first))})(?!\w)", text)
    return ((piece, number % 2 == 1) for number, piece in enumerate(cuts))


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
