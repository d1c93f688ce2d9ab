"""Fly throws: the flight equation with the constants, the fitted laws and the step count of one bundle."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.flight.air_met import air_met
from latebreak.engine.flight.equation import FlightConstants
from latebreak.engine.flight.kernel import (
    AT_X,
    AT_Z,
    MAX_VY,
    SEAM,
    SLOWEST,
    SPIN_X,
    SPIN_Z,
    STATE_ROWS,
    fly,
)  # fmt: skip
from latebreak.engine.flight.path import FEWEST_STEPS, places_at, states_at
from latebreak.engine.laws.fitting import LawFit, fit_laws
from latebreak.engine.laws.registry import SPEED_RANGE, SPIN_RANGE
from latebreak.engine.stopping import checkpoint
from latebreak.engine.units import FOOT, INCH, STANDARD_GRAVITY

Array = NDArray[np.float64]

#: y of the plate's front edge, m: 17 in before its back point (Official Baseball Rules, as quoted by others).
PLATE_FRONT = 17.0 / 12.0 * FOOT
#: Step counts tried, and the one that counts as exact.
STEP_CHOICES = (1, 2, 4, 8, 16)
EXACT_STEPS = 32
#: m; half of the promised 0.005 in, because the pilot sees only a sample of the throws.
_STEP_TOLERANCE = 0.0025 * INCH
#: Steps of the flights that show which S and V a bundle visits, and how much farther the laws are fitted.
_SCOUT_STEPS = 16
_MARGIN = 0.05


@dataclass(frozen=True)
class Flight:
    """A way to fly releases to the front of the plate.

    Attributes
    ----------
    constants : FlightConstants
        Scalars of the flight equation.
    laws : LawFit
        Fitted force laws.
    steps : int
        Runge-Kutta steps over the whole distance.
    plate : float
        m, the y where flights end.
    """

    constants: FlightConstants
    laws: LawFit
    steps: int = EXACT_STEPS
    plate: float = PLATE_FRONT

    def arrivals(self, releases: Array, steps: int | None = None) -> Array:
        """States at the plate, float64 array of shape (7, n), for releases of shape (15, n)."""
        checkpoint()
        nodes = np.empty((1, STATE_ROWS, releases.shape[1]))
        fly(np.ascontiguousarray(releases), self.plate, steps or self.steps, self.constants, self.laws.table, nodes)
        arrivals: Array = nodes[0]
        return arrivals

    def paths(self, releases: Array, steps: int | None = None) -> Paths:
        """Whole flights of releases of shape (15, n)."""
        checkpoint()
        count = max(steps or self.steps, FEWEST_STEPS)
        releases = np.ascontiguousarray(releases)
        nodes = np.empty((count + 1, STATE_ROWS, releases.shape[1]))
        fly(releases, self.plate, count, self.constants, self.laws.table, nodes)
        return Paths(releases, nodes, self.plate)


@dataclass(frozen=True, eq=False)
class Paths:
    """Flights with their states at equal distances.

    Attributes
    ----------
    releases : float64 array, shape (15, n)
        Where they started.
    nodes : float64 array, shape (steps + 1, 7, n)
        States at equal distances, from release to plate.
    plate : float
        m, the y where they end.
    """

    releases: Array
    nodes: Array
    plate: float

    @property
    def arrivals(self) -> Array:
        """States at the plate, shape (7, n)."""
        last: Array = self.nodes[-1]
        return last

    def at(self, times: Array) -> Array:
        """Position (m) and velocity (m/s) at times (s after release) of shape (k, n): shape (k, 6, n)."""
        return states_at(self.releases, self.plate, self.nodes, times)

    def crossing(self, y: Array) -> Array:
        """Places (m) where the throws cross distance coordinates y (m) of shape (k, n): shape (k, 3, n)."""
        return places_at(self.releases, self.plate, self.nodes, y)


def without_spin(releases: Array) -> Array:
    """Return the same releases with no spin-made and no seam-made force: gravity, drag and wind stay."""
    bare = releases.copy()
    bare[SPIN_X : SPIN_Z + 1] = 0.0
    bare[SEAM] = 0.0
    return bare


def constants_of(conditions: Conditions) -> FlightConstants:
    """Scalars of the flight equation for these conditions."""
    return FlightConstants(
        force_constant=conditions.force_constant,
        radius=conditions.ball.radius,
        gravity=STANDARD_GRAVITY,
        wind_x=conditions.wind_to_right,
        wind_y=-conditions.wind_to_plate,
        decay_rate=1.0 / conditions.ball.spin_decay_time,
    )


def rough_flight(conditions: Conditions) -> Flight:
    """Return a way to fly any pitch: laws fitted on all S and V there are, so only roughly where a law is steep.

    Raises
    ------
    InputError
        If a law is not registered.
    """
    laws = fit_laws(conditions.lift_law, conditions.drag_law, SPIN_RANGE, SPEED_RANGE)
    return Flight(constants_of(conditions), laws)


def fitted_flight(conditions: Conditions, rough: Flight, pilots: Array) -> Flight:
    """Fit the laws on the range of S and V that a bundle visits; the step count stays at 32.

    Parameters
    ----------
    conditions : Conditions
        Air, field, ball and laws.
    rough : Flight
        From `rough_flight`.
    pilots : float64 array, shape (15, n)
        A sample of the bundle, scattered wider than the bundle itself.
    """
    ranges = _visited(rough, pilots)
    return Flight(rough.constants, fit_laws(conditions.lift_law, conditions.drag_law, *ranges))


def with_fewest_steps(flight: Flight, pilots: Array) -> Flight:
    """Choose the step count for a bundle of which `pilots`, shape (15, n), is a sample scattered wider.

    Returns
    -------
    Flight
        With the smallest step count whose arrivals agree with 32 steps to 0.0025 in; 16 where the lift law has a kink
        inside the visited range (there the comparison of a sample can be lucky).
    """
    if flight.laws.kinked:
        return replace(flight, steps=STEP_CHOICES[-1])
    exact = flight.arrivals(pilots, EXACT_STEPS)
    usable = exact[MAX_VY] < -SLOWEST
    for steps in STEP_CHOICES:
        error = np.abs(flight.arrivals(pilots, steps) - exact)[[AT_X, AT_Z]][:, usable]
        if error.max(initial=0.0) <= _STEP_TOLERANCE:
            return replace(flight, steps=steps)
    return flight


def _visited(flight: Flight, releases: Array) -> tuple[tuple[float, float], tuple[float, float]]:
    """Bounds of S and V over the flights of these releases, with a margin."""
    nodes = flight.paths(releases, _SCOUT_STEPS).nodes
    low_s, high_s, low_v, high_v = air_met(releases, nodes, flight.constants)
    if low_v > high_v:  # nothing arrives; any range will do
        return SPIN_RANGE, SPEED_RANGE
    return (low_s * (1.0 - _MARGIN), high_s * (1.0 + _MARGIN)), (low_v * (1.0 - _MARGIN), high_v * (1.0 + _MARGIN))
