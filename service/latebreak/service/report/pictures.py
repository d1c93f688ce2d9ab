"""The pictures of the page, drawn by the figures, as SVG inside it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup
from matplotlib.axes import Axes

from latebreak.service.quantities.units import Units
from latebreak.service.report.figures import (
    arrival_plot,
    belief_plot,
    frontier_plot,
    hitters_view,
    lever_bars,
    side_view,
    svg_of,
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
    stills : list of (str, Markup)
        Name of a pitch, and what the hitter sees of it.
    of_pitches : dict of str to list of (str, Markup)
        By kind: side, top, arrival, belief.
    bars : Markup
        Steps on the levers.
    frontier : Markup or None
        Pairs of speed and spin rate; None where none reaches the goal.
    """

    stills: list[tuple[str, Markup]]
    of_pitches: dict[str, list[tuple[str, Markup]]]
    bars: Markup
    frontier: Markup | None

    @property
    def has_style_attributes(self) -> bool:
        """Whether an element has a `style` attribute, which the page's policy must then allow."""
        return any(' style="' in svg for svg in self._all())

    def _all(self) -> list[Markup]:
        own = [svg for drawn in (self.stills, *self.of_pitches.values()) for _, svg in drawn]
        return [*own, self.bars, *([self.frontier] if self.frontier else [])]


def draw(material: Material, units: Units) -> Pictures:
    """Draw everything once.

    Parameters
    ----------
    material : Material
        The answers.
    units : {"us", "metric"}
        Of axes and labels.
    """
    portrayed, hand = material.portrayed.result, material.scenario.pitcher.hand
    roles = role_of(portrayed.pitches)
    called = material.scenario.called
    own = {called(key): _of_pitch(material, key, number, roles[key], units) for number, key in enumerate(roles)}
    entry, role = material.scenario.pitch[material.pitch], roles.get(material.pitch, "thrown")
    bars = svg_of(
        lever_bars,
        material.levers.result,
        hand=hand,
        role=role,
        units=units,
        name="levers",
        title=f"What a step on each lever does to the miss chance of {called(material.pitch)}",
    )
    reached = material.reached.result
    pairs = reached.frontier and svg_of(
        frontier_plot,
        reached,
        (entry.speed_mph, entry.spin_rpm),
        hand=hand,
        role=role,
        units=units,
        name="frontier",
        title=f"Pairs of speed and spin rate with which {called(material.pitch)} gets there",
    )
    return Pictures(
        [(name, drawn["view"]) for name, drawn in own.items()],
        {kind: [(name, drawn[kind]) for name, drawn in own.items()] for kind in ("side", "top", "arrival", "belief")},
        Markup(bars),
        Markup(pairs) if pairs else None,
    )


def role_of(names: Iterable[str]) -> dict[str, PathRole]:
    """Return whose colour each pitch has: neighbours differ."""
    return {name: "rival" if number % 2 else "thrown" for number, name in enumerate(names)}


def _of_pitch(material: Material, key: str, number: int, role: PathRole, units: Units) -> dict[str, Markup]:
    portrayed, scenario = material.portrayed.result, material.scenario
    portrait, estimates = portrayed.pitches[key], material.compared.result.pitches[key]
    hands: dict[str, Hand] = {"hand": scenario.pitcher.hand}
    pictures: dict[str, tuple[str, Callable[..., Axes], tuple[Any, ...], dict[str, Any]]] = {
        "view": ("what the hitter sees of it", hitters_view, (portrait, estimates), {}),
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
