"""The search for the best target of a pitch: a first look over a grid, then a climb with all throws."""

from __future__ import annotations

from dataclasses import replace
from math import ceil, isfinite

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.draws import Draws
from latebreak.engine.units import FOOT
from latebreak.perception.decision import BALL_RADIUS, HALF_WIDTH
from latebreak.service.judging.estimates import Estimator
from latebreak.service.judging.lineup import Lineup
from latebreak.service.judging.setting import Progress
from latebreak.service.judging.versions import measure_versions
from latebreak.service.quantities import QUANTITIES
from latebreak.service.scenario.pitch_entry import PitchEntry

#: ft between targets: a ball's width.
BALL = 2.0 * BALL_RADIUS / FOOT
#: Balls' widths beyond the edges of the zone: to the sides, below, above (chosen: nobody aims farther out).
_BESIDE, _BELOW, _ABOVE = 2, 3, 2
_LOWEST = 0.3  # ft
#: Throws at each target in the first look (chosen: what is within the scatter of them is looked at again).
_FEW = 512
#: Column and row of a target on the grid.
Cell = tuple[int, int]


class TargetSearch:
    """Looks for the best target of a pitch, without what is not known.

    Places are columns to the right and rows up of a grid, which reaches over the zone and around it.
    """

    def __init__(self, lineup: Lineup, name: str, measure: str, progress: Progress) -> None:
        self._lineup, self._name, self._measure = replace(lineup, ensemble=None), name, measure
        self._sign = -1.0 if QUANTITIES[measure].better == "less" else 1.0
        zone, self._draws = lineup.hitter.situation.zone, lineup.setting.draws
        self._bottom = zone.bottom / FOOT
        aside = ceil(HALF_WIDTH / FOOT / BALL) + _BESIDE - 1
        rows = range(-_BELOW, ceil((zone.top - zone.bottom) / FOOT / BALL) + _ABOVE + 1)
        self._columns = range(-aside, aside + 1)
        self._rows = [row for row in rows if self.place((0, row))[1] >= _LOWEST]
        self._progress = progress

    def place(self, cell: Cell) -> tuple[float, float]:
        """Return side and height of a cell, ft."""
        return BALL * cell[0], self._bottom + BALL * cell[1]

    def is_edge(self, cell: Cell) -> bool:
        """Tell whether a cell lies at the edge of what is searched."""
        return cell[0] in (self._columns[0], self._columns[-1]) or cell[1] in (self._rows[0], self._rows[-1])

    def first_look(self) -> dict[Cell, float]:
        """Measure every cell with few throws; NaN where the pitch can't be thrown to it."""
        found = self._look(
            [(column, row) for row in self._rows for column in self._columns],
            Draws(self._draws.seed, min(self._draws.throws, _FEW)),
        )
        self._progress(0.3)
        return found

    def climb(
        self, found: dict[Cell, float], now: tuple[float, float]
    ) -> tuple[Cell | None, tuple[float, float], dict[Cell, float]]:
        """Climb with all throws from the best of the first look to a cell that none around it beats.

        Returns
        -------
        cell : tuple of int or None
            The best; None where the target of now is better.
        place : tuple of float
            Its side and height, ft.
        known : dict of cell to float
            The measure where all throws were asked: there and around it.
        """
        top, known = self._top(found), dict[Cell, float]()
        while True:
            column, row = top
            near = [(column + right, row + up) for up in (-1, 0, 1) for right in (-1, 0, 1)]
            new = [one for one in near if one in found and one not in known]
            known |= self._look(new, self._draws) if new else {}
            if self._top(known) == top:
                break
            top = self._top(known)
        (own,) = self._values([now], self._draws)
        self._progress(0.5)
        if self._merit(own) >= self._merit(known[top]):
            return None, now, known
        return top, self.place(top), known

    def _look(self, cells: list[Cell], draws: Draws) -> dict[Cell, float]:
        return dict(zip(cells, self._values([self.place(cell) for cell in cells], draws), strict=True))

    def _values(self, places: list[tuple[float, float]], draws: Draws) -> list[float]:
        found, on_target = measure_targets(self._lineup, self._name, places, self._measure, draws)
        return [float(value) for value in np.where(on_target, found.value, np.nan)]

    def _top(self, found: dict[Cell, float]) -> Cell:
        return max(found, key=lambda cell: self._merit(found[cell]))

    def _merit(self, value: float) -> float:
        return self._sign * value if isfinite(value) else float("-inf")


def measure_targets(
    lineup: Lineup, name: str, places: list[tuple[float, float]], measure: str, draws: Draws
) -> tuple[Estimator, NDArray[np.bool_]]:
    """Measure a pitch aimed at each of some places (side and height, ft), and tell which it can be thrown to."""
    entry = lineup.setting.scenario.pitch[name]
    found, on_target = measure_versions(lineup, name, [_aimed(entry, *place) for place in places], draws, measure)
    return found[measure], on_target


def _aimed(entry: PitchEntry, side: float, height: float) -> PitchEntry:
    return entry.model_copy(
        update={
            "target_side_ft": side,
            "target_height_ft": height,
            "launch_elevation_deg": None,
            "launch_azimuth_deg": None,
        }
    )
