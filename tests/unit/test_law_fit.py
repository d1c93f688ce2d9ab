"""Fitted force laws: complete, as good as they say, and honest about kinks."""

from collections.abc import Callable, Iterator
from importlib.metadata import EntryPoints

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import prepare
from latebreak.engine.errors import InputError
from latebreak.engine.laws import fitting as law_fit
from latebreak.engine.laws import registry
from latebreak.engine.laws.drag import constant_drag
from latebreak.engine.laws.fitting import fit_laws
from latebreak.engine.laws.lift import saturating_lift
from latebreak.engine.laws.table import drag_coefficient, lift_coefficient
from latebreak.engine.pitch.pitch import Pitch
from latebreak.engine.units import INCH

LIFT_LAWS = ["saturating_lift", "piecewise_lift", "power_lift", "exponential_lift", "rational_lift"]
SPEEDS = (25.0, 45.0)
#: Ranges of S that bundles visit, the last one that of a slow pitch with much spin on every axis.
RANGES = [(0.0, 0.0), (0.0, 0.04), (0.12, 0.3), (0.05, 0.35), (0.0, 0.3), (0.2, 0.6), (0.0, 1.2)]


def largest_lift_error(name: str, low: float, high: float) -> float:
    fit = fit_laws(name, "constant_drag", (low, high), SPEEDS)
    s = np.linspace(fit.table.spin_low, fit.table.spin_high, 3001)
    fitted = np.array([lift_coefficient(one, fit.table) for one in s])
    return float(np.abs(fitted - registry.force_law(name).function(s)).max())


@pytest.mark.parametrize("name", LIFT_LAWS)
@pytest.mark.parametrize(("low", "high"), RANGES)
def test_reported_lift_error_is_honest(name: str, low: float, high: float) -> None:
    fit = fit_laws(name, "constant_drag", (low, high), SPEEDS)
    assert fit.table.spin_low <= low
    assert fit.table.spin_high >= high
    # between the points of its own grid the error may be a little larger, most of all at an infinite slope
    assert largest_lift_error(name, low, high) <= 1.3 * fit.lift_error + 1e-12


@pytest.mark.parametrize("name", ["saturating_lift", "piecewise_lift", "exponential_lift", "rational_lift"])
def test_smooth_and_piecewise_laws_cost_less_than_a_thousandth_of_an_inch(name: str) -> None:
    # On the range of an ordinary pitch, over 16.6 m; the promise of the flight is 0.005 in.
    for low, high in [(0.0, 0.04), (0.12, 0.3), (0.05, 0.35), (0.2, 0.6)]:
        fit = fit_laws(name, "constant_drag", (low, high), SPEEDS)
        assert fit.error_at_plate(Conditions(1.2).force_constant, 16.6) < 1e-3 * INCH


def test_power_law_costs_less_than_a_tenth_of_an_inch_at_zero_spin() -> None:
    # infinitely steep there: 0.08 in
    fit = fit_laws("power_lift", "constant_drag", (0.0, 0.6), SPEEDS)
    assert 0.01 * INCH < fit.error_at_plate(Conditions(1.2).force_constant, 16.6) < 0.1 * INCH


def test_tables_are_of_one_shape() -> None:
    # The kernels read six lift and ten drag coefficients: also where the law is a straight line and the higher ones
    # are exactly zero.
    shapes = {
        (low, high): (len(table.lift_below), len(table.lift_above), len(table.drag))
        for low in np.arange(0.0, 0.5, 0.02).round(2).tolist()
        for high in np.arange(low, 0.8, 0.05).round(2).tolist()
        for table in [fit_laws("piecewise_lift", "constant_drag", (low, high), SPEEDS).table]
    }
    assert {visited: shape for visited, shape in shapes.items() if shape != (6, 6, 10)} == {}


@pytest.mark.parametrize("name", ["constant_drag", "falling_drag"])
def test_reported_drag_error_is_honest(name: str) -> None:
    for speeds in [(15.0, 22.0), (25.0, 45.0), (33.0, 52.0)]:
        fit = fit_laws("saturating_lift", name, (0.1, 0.3), speeds)
        v, s = np.linspace(*speeds, 301), 0.2
        fitted = np.array([drag_coefficient(one, s, fit.table) for one in v])
        error = np.abs(fitted - registry.force_law(name).function(v, s)).max()
        assert error <= 1.1 * fit.drag_error + 1e-12
    assert fit_laws("saturating_lift", "constant_drag", (0.1, 0.3), SPEEDS).drag_error < 1e-12


def test_outside_the_range_the_edge_holds() -> None:
    table = fit_laws("saturating_lift", "falling_drag", (0.1, 0.3), SPEEDS).table
    assert lift_coefficient(0.0, table) == lift_coefficient(table.spin_low, table)
    assert lift_coefficient(5.0, table) == lift_coefficient(table.spin_high, table)
    assert drag_coefficient(1.0, 0.2, table) == drag_coefficient(table.speed_low, 0.2, table)
    assert drag_coefficient(90.0, 9.0, table) == drag_coefficient(table.speed_high, table.spin_high, table)


@pytest.mark.parametrize(
    ("name", "visited", "kinked"),
    [
        ("piecewise_lift", (0.05, 0.3), True),
        ("piecewise_lift", (0.15, 0.4), False),
        ("piecewise_lift", (0.0, 0.07), False),
        ("power_lift", (0.0, 0.3), True),
        ("power_lift", (0.1, 0.3), False),
        ("saturating_lift", (0.0, 1.2), False),
        ("rational_lift", (0.1, 0.6), False),
    ],
)
def test_kinks_are_seen(name: str, visited: tuple[float, float], kinked: bool) -> None:
    assert fit_laws(name, "constant_drag", visited, SPEEDS).kinked is kinked


def test_error_at_plate_is_half_k_dc_d_squared() -> None:
    fit = fit_laws("power_lift", "falling_drag", (0.0, 0.3), SPEEDS)
    assert fit.error_at_plate(0.018, 16.0) == pytest.approx(0.5 * 0.018 * (fit.lift_error + fit.drag_error) * 256.0)


@pytest.mark.parametrize(
    ("lift", "drag"),
    [("no_such_lift", "constant_drag"), ("saturating_lift", "no_such_drag"), ("constant_drag", "constant_drag"),
     ("saturating_lift", "saturating_lift")],
)  # fmt: skip
def test_a_law_that_is_not_there_or_of_the_other_kind_is_an_input_fault(lift: str, drag: str) -> None:
    with pytest.raises(InputError):
        fit_laws(lift, drag, (0.1, 0.3), SPEEDS)


Law = Callable[..., NDArray[np.float64]]


@pytest.fixture
def register(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[dict[str, Law]], None]]:
    """Register laws as another package would, without installing one."""

    class Point:
        def __init__(self, name: str, law: Law) -> None:
            self.name, self._law = name, law
            self.group, self.value, self.dist = registry.GROUP, "elsewhere:law", None

        def load(self) -> Law:
            return self._law

    def put(laws: dict[str, Law]) -> None:
        points = EntryPoints(Point(name, law) for name, law in laws.items())  # type: ignore[misc]
        monkeypatch.setattr(registry, "entry_points", lambda **_: points)
        registry.registered.cache_clear()
        law_fit.fit_over.cache_clear()

    yield put
    registry.registered.cache_clear()
    law_fit.fit_over.cache_clear()


def test_law_that_says_nothing_beyond_the_range_it_is_asked_for(
    make_pitch: Callable[..., Pitch], register: Callable[[dict[str, Law]], None]
) -> None:
    # The registry asks for S from 0 to 2 and v from 5 to 65 m/s, more than any ordinary pitch visits.
    def short_lift(s: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.where(s <= 2.0, saturating_lift(s), np.nan)

    def short_drag(v: NDArray[np.float64], s: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.where((v >= 5.0) & (v <= 65.0) & (s <= 2.0), 0.345, np.nan)

    register(
        {
            "short_lift": short_lift,
            "short_drag": short_drag,
            "saturating_lift": saturating_lift,
            "constant_drag": constant_drag,
        }
    )
    arrivals = []
    for lift, drag in (("short_lift", "short_drag"), ("saturating_lift", "constant_drag")):
        bundle = prepare(make_pitch(), Conditions(1.2, lift_law=lift, drag_law=drag))
        arrivals.append(bundle.flight.arrivals(bundle.releases(np.zeros((9, 1))))[:, 0])
    np.testing.assert_allclose(arrivals[0], arrivals[1], rtol=0.0, atol=1e-6)  # m and s: the fits differ by less


def test_law_of_another_package(register: Callable[[dict[str, Law]], None]) -> None:
    register({"no_lift": lambda s: 0.0 * s, "spinning_drag": lambda v, s: 0.3 + 0.1 * s + 0.001 * v})
    table = fit_laws("no_lift", "spinning_drag", (0.1, 0.3), SPEEDS).table
    assert len(table.lift_below) == 6
    assert lift_coefficient(0.2, table) == pytest.approx(0.0, abs=1e-15)
    assert drag_coefficient(40.0, 0.2, table) == pytest.approx(0.36, abs=1e-12)
