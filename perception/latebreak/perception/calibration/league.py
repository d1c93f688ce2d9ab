"""The league: how often typical hitters swing at and miss typical pitches, by kind, place, speed, count and knowledge.

All figures are over all counts unless one is named; pitches of the same kind are aimed alike in every count and to both
sides (chosen), so swings by count are compared in the zone alone. A pitch of another speed keeps its spin; the others
of the mix keep their speed, but fastballs beside a fastball go with it (chosen).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations

import numpy as np

from latebreak.perception.calibration.cells import (
    SIDES,
    THROWS,
    ZONE,
    Cell,
    Rates,
    in_zone,
    judged,
    places,
    rates,
    rates_of,
    together,
)
from latebreak.perception.calibration.typical import FASTBALLS, TYPICAL
from latebreak.perception.decision import COUNT_SHARES
from latebreak.perception.model import HitterModel, Judgement, Situation, one_glance
from latebreak.perception.parameters import Parameters

COUNTS = tuple((balls, strikes) for balls in range(4) for strikes in range(3))
#: Order of misses per pitch in the league (professional tracking, web table, secondary).
ORDER = ("sinker", "four_seam", "cutter", "curve", "changeup", "slider")
#: mph between which the influence of a pitch's own speed is looked at: inside what the league throws (chosen).
SPEEDS: Mapping[str, Sequence[float]] = {
    "four_seam": (90.0, 93.0, 96.0, 98.0),
    "curve": (72.0, 76.0, 79.0, 82.0),
    "slider": (81.0, 88.0),
    "changeup": (81.0, 88.0),
}
#: mph of the fastball beside a typical curve.
BESIDE_CURVE = (86.0, 90.0, 94.0, 98.0)
#: Kinds of which hitters were told (not fastballs).
TOLD = ("slider", "curve", "changeup")


def odds(percent: float) -> float:
    """Odds of a chance in percent."""
    return percent / (100.0 - percent)


def figures(parameters: Parameters, model: HitterModel = one_glance) -> dict[str, float]:
    """All figures of the league, by the names under which `published` lists them.

    Parameters
    ----------
    parameters : Parameters
        One column.
    model : HitterModel
        Whose.

    Returns
    -------
    dict
        Percent, points of a percent, odds ratios: the unit stands in `published`.
    """
    seen = {kind: judged(Cell(kind), parameters, model) for kind in TYPICAL}
    by_kind = {kind: rates_of(Cell(kind), seen[kind]) for kind in TYPICAL}
    found = {f"misses_{kind}": each.misses() for kind, each in by_kind.items()}
    found["misses_in_order"] = float(
        sum(found[f"misses_{less}"] < found[f"misses_{more}"] for less, more in combinations(ORDER, 2))
    )
    found |= {f"swings_{kind}": each.swings() for kind, each in by_kind.items()}
    found |= _by_place(by_kind)
    found |= _by_count(seen, parameters, model)
    found |= _by_height(by_kind["four_seam"])
    found |= _by_speed(parameters, model)
    found |= _told(by_kind, parameters, model)
    return found


def weighted(by_kind: Mapping[str, Rates]) -> Rates:
    """Put kinds together by how often they are thrown."""
    return together([each.scaled(TYPICAL[kind].usage) for kind, each in by_kind.items()])


def _by_place(by_kind: Mapping[str, Rates]) -> dict[str, float]:
    """In the zone and outside it, and how much more the pitcher's own side misses."""
    everything = weighted(by_kind)
    zone = np.concatenate([in_zone(Cell(kind)) for kind in by_kind])
    same = np.tile(np.repeat([True, False], THROWS), len(by_kind))
    return {
        "swings_in_zone": everything.swings(zone),
        "swings_out_of_zone": everything.swings(~zone),
        "misses_in_zone": everything.misses(zone),
        "misses_out_of_zone": everything.misses(~zone),
        "same_side": everything.misses(same) - everything.misses(~same),
    }


def _by_count(seen: Mapping[str, Sequence[Judgement]], parameters: Parameters, model: HitterModel) -> dict[str, float]:
    """Swings at what is in the zone, by count; and at what is outside, before two strikes and then."""
    zone = np.concatenate([in_zone(Cell(kind)) for kind in seen])
    p = model.parameters(parameters)
    found: dict[str, float] = {}
    chases = np.empty(COUNT_SHARES.shape)
    for count in COUNTS:
        by_kind = {}
        for kind, judgements in seen.items():
            swings = [
                model.decide(one.forecast, p, ZONE, Situation(bats).inside, count)
                for bats, one in zip(SIDES, judgements, strict=True)
            ]
            by_kind[kind] = rates_of(Cell(kind), judgements, swings)
        everything = weighted(by_kind)
        found[f"swings_in_zone_{count[0]}_{count[1]}"] = everything.swings(zone)
        chases[count] = everything.swings(~zone)
    before = float(np.average(chases[:, :2], weights=COUNT_SHARES[:, :2]))
    then = float(np.average(chases[:, 2], weights=COUNT_SHARES[:, 2]))
    return found | {"chases_before_two_strikes": before, "more_chases_with_two_strikes": then - before}


def _by_height(four_seam: Rates) -> dict[str, float]:
    """Four-seams in the zone, by thirds of it."""
    zone, height = in_zone(Cell("four_seam")), places(Cell("four_seam"))[1]
    third = (ZONE.top - ZONE.bottom) / 3.0
    top, bottom = ZONE.top - third, ZONE.bottom + third
    found = {
        "four_seam_top": four_seam.misses(zone & (height > top)),
        "four_seam_middle": four_seam.misses(zone & (height <= top) & (height >= bottom)),
        "four_seam_bottom": four_seam.misses(zone & (height < bottom)),
    }
    return found | {"four_seam_top_to_bottom": odds(found["four_seam_top"]) / odds(found["four_seam_bottom"])}


def _by_speed(parameters: Parameters, model: HitterModel) -> dict[str, float]:
    """Misses by the speed of the pitch itself, and of a curve by that of the fastball beside it; and steps of them."""
    found: dict[str, float] = {}
    for kind, speeds in SPEEDS.items():
        cells = [Cell(kind, speed, speed if kind in FASTBALLS else None) for speed in speeds]
        found |= _steps(kind, speeds, cells, parameters, model)
    beside = [Cell("curve", fastball=speed) for speed in BESIDE_CURVE]
    return found | _steps("curve_beside", BESIDE_CURVE, beside, parameters, model)


def _steps(
    name: str, speeds: Sequence[float], cells: Sequence[Cell], parameters: Parameters, model: HitterModel
) -> dict[str, float]:
    misses = [rates(cell, parameters, model).misses() for cell in cells]
    found = {f"misses_{name}_{speed:.0f}": miss for speed, miss in zip(speeds, misses, strict=True)}
    for (slow, fast), (less, more) in zip(combinations(speeds, 2), combinations(misses, 2), strict=True):
        found[f"{name}_{slow:.0f}_to_{fast:.0f}"] = more - less
    return found


def _told(by_kind: Mapping[str, Rates], parameters: Parameters, model: HitterModel) -> dict[str, float]:
    """Contact; and odds with the type known over odds without, over pitches that are not fastballs."""
    told = weighted({kind: rates(Cell(kind, known=True), parameters, model) for kind in TOLD})
    untold = weighted({kind: by_kind[kind] for kind in TOLD})
    four_seam = by_kind["four_seam"].misses(in_zone(Cell("four_seam")))
    return {
        "contact_fastball": 100.0 - four_seam,
        "contact_not_fastball": 100.0 - untold.misses(),
        "told_contact": odds(untold.misses()) / odds(told.misses()),
        "told_swings": odds(told.swings()) / odds(untold.swings()),
    }
