"""The pictures of the page, drawn by the figures, as SVG inside it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup
from matplotlib.axes import Axes

from latebreak.service.quantities.units import Units
from latebreak.service.report.figures import (
    TimedPitch,
    aim_plot,
    arrival_plot,
    belief_plot,
    goal_plot,
    mix_plot,
    side_view,
    svg_of,
    timeline_plot,
    top_view,
)
from latebreak.service.report.figures.palette import PathRole
from latebreak.service.report.material import Material
from latebreak.service.scenario.section import Hand


@dataclass(frozen=True)
class Pictures:
    """SVG elements.

    Attributes
    ----------
    timeline : Markup
        All pitches on one time line.
    of_pitches : dict of str to list of (str, Markup)
        By kind (side, top, arrival, belief): name of a pitch and its picture.
    aim, mix : Markup or None
        Where to aim the pitch that is worked on, how often to throw each; None where there is nothing to draw.
    goal : Markup or None
        How far a goal is; None without one.
    """

    timeline: Markup
    of_pitches: dict[str, list[tuple[str, Markup]]]
    aim: Markup | None
    mix: Markup | None
    goal: Markup | None = None

    @property
    def has_style_attributes(self) -> bool:
        """Whether an element has a `style` attribute, which the page's policy must then allow."""
        drawn = [self.timeline, *(svg for kind in self.of_pitches.values() for _, svg in kind)]
        return any(' style="' in svg for svg in [*drawn, self.aim, self.mix, self.goal] if svg is not None)


def draw(material: Material, units: Units) -> Pictures:
    """Draw everything once.

    Parameters
    ----------
    material : Material
        The answers.
    units : {"us", "metric"}
        Of axes and labels.
    """
    roles, called = role_of(material.portrayed.result.pitches), material.scenario.called
    own = {called(key): _of_pitch(material, key, number, roles[key], units) for number, key in enumerate(roles)}
    kinds = ("side", "top", "arrival", "belief")
    return Pictures(
        draw_timeline(material, units),
        {kind: [(name, drawn[kind]) for name, drawn in own.items()] for kind in kinds},
        _draw_aim(material, roles[material.pitch], units),
        _draw_mix(material, units),
        _draw_goal(material, units),
    )


def draw_timeline(material: Material, units: Units) -> Markup:
    """Draw the time line of all pitches."""
    portraits, found = material.portrayed.result.pitches, material.compared.result.pitches
    rows = [TimedPitch(portraits[key], found[key], role) for key, role in role_of(portraits).items()]
    names = " and ".join(one.portrait.name for one in rows)
    title = f"{names} on one time line: when each leaves the tunnel, is known, and arrives"
    return Markup(svg_of(timeline_plot, rows, units=units, name="timeline", title=title))


def _draw_aim(material: Material, role: PathRole, units: Units) -> Markup | None:
    result, scenario = material.aimed.result, material.scenario
    if all(place.value is None for place in result.grid):
        return None
    return Markup(
        svg_of(
            aim_plot,
            result,
            material.portrayed.result.zone,
            hand=scenario.pitcher.hand,
            bats=scenario.hitter.bats,
            role=role,
            units=units,
            name="aim",
            title=f"Where to aim {scenario.called(result.pitch)}: every target, that of now and the best",
        )
    )


def _draw_mix(material: Material, units: Units) -> Markup | None:
    if material.mixed is None:
        return None
    title = "What the whole mix is worth against the share of each pitch, today's share and the best"
    called, first = material.scenario.called, [*material.compared.result.pitches]
    return Markup(
        svg_of(mix_plot, material.mixed.result, called=called, first=first, units=units, name="mix", title=title)
    )


def _draw_goal(material: Material, units: Units) -> Markup | None:
    progress = None if material.fitted is None else material.fitted.result.goal
    if progress is None or all(one.measure is None for one in progress.sessions):
        return None
    title = f"How far the goal of {progress.kept.date} is, session by session"
    return Markup(
        svg_of(goal_plot, progress, hand=material.scenario.pitcher.hand, units=units, name="goal", title=title)
    )


def role_of(names: Iterable[str]) -> dict[str, PathRole]:
    """Return whose colour each pitch has: neighbours differ."""
    return {name: "rival" if number % 2 else "thrown" for number, name in enumerate(names)}


def _of_pitch(material: Material, key: str, number: int, role: PathRole, units: Units) -> dict[str, Markup]:
    portrayed, scenario = material.portrayed.result, material.scenario
    portrait, estimates = portrayed.pitches[key], material.compared.result.pitches[key]
    hands: dict[str, Hand] = {"hand": scenario.pitcher.hand}
    pictures: dict[str, tuple[str, Callable[..., Axes], tuple[Any, ...], dict[str, Any]]] = {
        "side": ("from the side", side_view, (portrait, estimates), {"zone": portrayed.zone}),
        "top": ("from above", top_view, (portrait, estimates), hands),
        "arrival": ("at the plate", arrival_plot, (portrait, portrayed.zone), {**hands, "bats": scenario.hitter.bats}),
        "belief": ("what the hitter believes", belief_plot, (portrait, estimates), {}),
    }
    return {
        kind: Markup(
            svg_of(
                figure,
                *shown,
                **more,
                role=role,
                units=units,
                name=f"{kind}-{number}",
                title=f"{portrait.name} beside {portrait.fastball}, {what}",
            )
        )
        for kind, (what, figure, shown, more) in pictures.items()
    }
