"""Parts of the question `fit`: conversion, roles, sessions."""

from dataclasses import replace

import numpy as np
import pytest
from fitted_pitch import BASE

from latebreak.engine.errors import InputError
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM
from latebreak.service.quantities import clock_face
from latebreak.service.questions.fitting.base import assume
from latebreak.service.questions.fitting.observed_of import observed_of
from latebreak.service.questions.fitting.roles import find_roles
from latebreak.service.questions.fitting.sessions import sessions_of
from latebreak.service.questions.fitting.trade import wrapped
from latebreak.service.throws import Throws

RUBBER = 60.5 * FOOT
PRIOR = replace(assume(BASE, "curve_spike", "breaking").prior, levers=np.full(9, 6.0 * FOOT))  # extension 6 ft


def throws_of(values: dict[str, list[float]], pitch: str = "curve", **how: object) -> Throws:
    n = len(next(iter(values.values())))
    columns = {key: np.array(column, dtype=float) for key, column in values.items()}
    return Throws("bullpen.csv", np.arange(n) + 2, (pitch,) * n, (None,) * n, (None,) * n, columns, **how)  # type: ignore[arg-type]


# --- units and clock faces ------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("degrees", "face"),
    [
        (0.0, "12:00"),
        (359.9, "12:00"),
        (90.0, "3:00"),
        (212.5, "7:05"),
        (27.5, "12:55"),
        (-15.0, "11:30"),
        (360.0, "12:00"),
    ],
)
def test_clock_faces(degrees: float, face: str) -> None:
    assert clock_face(degrees) == face


@pytest.mark.parametrize(("degrees", "inside"), [(350.0, -10.0), (-350.0, 10.0), (180.0, -180.0), (30.0, 30.0)])
def test_angles_are_wrapped(degrees: float, inside: float) -> None:
    assert wrapped(degrees) == pytest.approx(inside)


def test_columns_become_si_units() -> None:
    throws = throws_of(
        {
            "speed_mph": [78.0, 80.0],
            "spin_rpm": [2500.0, np.nan],
            "break_clock_deg": [210.0, 212.0],
            "gyro_deg": [-30.0, 30.0],
            "efficiency_percent": [85.0, 87.0],
            "release_side_ft": [-1.5, -1.6],
            "arrival_side_ft": [0.5, 0.6],
            "arrival_height_ft": [2.0, 2.1],
            "arrival_speed_mph": [71.0, 72.0],
            "induced_side_break_in": [11.0, 12.0],
            "induced_vertical_break_in": [-15.0, -16.0],
        }
    )
    observed = observed_of(throws, np.array([True, False]), RUBBER, PRIOR)
    expected = [78.0 * MPH, 2500.0 * RPM, 210.0 * DEGREE, -30.0 * DEGREE, -1.5 * FOOT, *[np.nan] * 4]
    np.testing.assert_allclose(observed.levers[:, 0], expected, rtol=1e-12)
    np.testing.assert_allclose(observed.efficiency, [0.85])
    np.testing.assert_allclose(observed.arrival[:, 0], [0.5 * FOOT, 2.0 * FOOT])
    np.testing.assert_allclose(observed.arrival_speed, [71.0 * MPH])
    np.testing.assert_allclose(observed.induced[:, 0], [11.0 * INCH, -15.0 * INCH])


def test_nine_numbers_fill_gaps() -> None:
    """At the release itself the track's speed is |v0|: the reference plane is put there, 60.5 - 6 = 54.5 ft. To 0.1 %
    and half a centimetre, since a flight is no exact parabola.
    """
    numbers = {
        "x0_ft": -1.5, "y0_ft": 54.5, "z0_ft": 5.9, "vx0_ft_s": 3.0, "vy0_ft_s": -114.0, "vz0_ft_s": 4.0,
        "ax_ft_s2": 5.0, "ay_ft_s2": 20.0, "az_ft_s2": -40.0,
    }  # fmt: skip
    throws = throws_of({key: [value] for key, value in numbers.items()} | {"speed_mph": [np.nan]})
    observed = observed_of(throws, np.array([True]), RUBBER, PRIOR)
    assert observed.levers[0, 0] == pytest.approx(np.sqrt(3.0**2 + 114.0**2 + 4.0**2) * FOOT, rel=1e-3)
    assert observed.levers[5, 0] == pytest.approx(5.9 * FOOT, abs=0.005)
    assert np.isfinite(observed.arrival).all()


# --- roles ----------------------------------------------------------------------------------------------------------
STARTERS_FASTBALL = 90.4  # mph, of two-grips


def test_the_fastball_that_was_asked_for() -> None:
    roles = find_roles(BASE, {"heat": 91.0, "bender": 76.0}, "heat", "x.csv")
    assert (roles.fastball, roles.of) == ("heat", {"heat": "fastball", "bender": "breaking"})


@pytest.mark.parametrize("name", ["fastball", "Four-Seam", "my fastball", "SINKER"])
def test_the_fastball_by_its_name(name: str) -> None:
    roles = find_roles(BASE, {"curve": 77.0, name: 86.0, "change-up": 80.0}, None, "x.csv")
    assert roles.fastball == name
    assert roles.of == {"curve": "breaking", name: "fastball", "change-up": "offspeed"}
    assert roles.warnings == ()


def test_the_fastest_of_unknown_role_is_the_fastball_and_that_is_said() -> None:
    roles = find_roles(BASE, {"a": 77.0, "b": 0.95 * STARTERS_FASTBALL}, None, "x.csv")
    assert roles.fastball == "b"
    assert any("'b'" in warning and "--fastball" in warning for warning in roles.warnings)
    assert any("role of 'a'" in warning for warning in roles.warnings)


@pytest.mark.parametrize(
    "speeds", [{"a": 77.0, "b": 78.0}, {"a": float("nan"), "b": 79.0}, {"slider": 86.0, "b": 85.0}]
)
def test_no_curve_is_made_a_fastball(speeds: dict[str, float]) -> None:
    """Far slower than the base's fastball, or slower than a pitch that is known to be none."""
    assert find_roles(BASE, speeds, None, "x.csv").fastball is None


def test_an_unknown_fastball_is_a_fault() -> None:
    with pytest.raises(InputError, match=r"x\.csv: fastball: no throw is of a pitch 'fasball'.*did you mean fastball"):
        find_roles(BASE, {"fastball": 90.0}, "fasball", "x.csv")


# --- sessions -------------------------------------------------------------------------------------------------------
def test_sessions_keep_their_order() -> None:
    throws = replace(throws_of({"speed_mph": [1.0, 2.0, 3.0, 4.0]}), session=("may", "april", "may", None))
    found, warnings = sessions_of([throws])
    assert [(one.name, one.count) for one in found["curve"]] == [("may", 2), ("april", 1), ("", 1)]
    assert any("first and last" in warning for warning in warnings)


def test_two_files_are_two_sessions() -> None:
    first, second = (replace(throws_of({"speed_mph": [1.0, 2.0]}), source=f"{name}.csv") for name in ("may", "june"))
    found, warnings = sessions_of([replace(first, session=("a", "b")), second])
    assert [(one.name, one.count) for one in found["curve"]] == [("may", 2), ("june", 2)]
    assert any("taken together" in warning for warning in warnings)
    same, _ = sessions_of([first, first])
    assert [one.name for one in same["curve"]] == ["earlier", "later"]
