"""Density of moist air against the CIPM-2007 equation and against an independent formulation."""

import itertools

import pytest

from latebreak.engine.air.density import moist_air_density
from latebreak.engine.errors import InputError

# Computed from the CIPM-2007 formula (Picard et al. 2008, Metrologia 45:149-155), constants from memory:
# C, Pa, relative humidity, kg/m3.
CIPM_2007 = [
    (20.0, 101325.0, 0.0, 1.20456),
    (15.0, 101325.0, 0.0, 1.22552),
    (25.0, 101325.0, 0.5, 1.17732),
    (10.0, 101325.0, 0.5, 1.24438),
    (20.0, 100000.0, 0.5, 1.18356),
    (27.0, 83400.0, 0.3, 0.96354),
]
TEMPERATURES = (258.15, 273.15, 283.15, 293.15, 303.15, 313.15)


@pytest.mark.parametrize(("temperature_c", "pressure", "humidity", "density"), CIPM_2007)
def test_the_equation(temperature_c: float, pressure: float, humidity: float, density: float) -> None:
    # Same equation: all that is left is the rounding of the table, 5e-6 kg/m3.
    assert moist_air_density(temperature_c + 273.15, pressure, humidity) == pytest.approx(density, abs=6e-6)


@pytest.mark.parametrize(
    ("temperature", "pressure", "humidity"),
    list(itertools.product(TEMPERATURES, (70e3, 84e3, 101325.0, 105e3), (0.0, 0.5, 1.0))),
)
def test_against_coolprop(temperature: float, pressure: float, humidity: float) -> None:
    from CoolProp.HumidAirProp import HAPropsSI  # two seconds, of this test alone

    # CoolProp's humid air: virial equation of state after Herrmann, Kretzschmar, Gatley (2009), ASHRAE RP-1485; another
    # formulation than CIPM-2007. 5e-4 of the density moves a curve of 18 in by less than 0.01 in: far below what
    # temperature and pressure are known to at a ball park.
    reference = 1.0 / HAPropsSI("Vha", "T", temperature, "P", pressure, "R", humidity)
    assert moist_air_density(temperature, pressure, humidity) == pytest.approx(reference, rel=5e-4)


def test_humid_air_is_lighter() -> None:
    # Water (18 g/mol) takes the place of air (29 g/mol): at 30 C, saturated, x_v = p_sv / p = 4246 / 101325 (steam
    # tables, value from memory), so the loss is x_v (1 - 18.015 / 28.965) = 1.58 %; non-ideality moves that by
    # less than a fiftieth.
    loss = 1.0 - moist_air_density(303.15, 101325.0, 1.0) / moist_air_density(303.15, 101325.0, 0.0)
    assert loss == pytest.approx(0.0158, rel=0.02)


def test_carbon_dioxide_adds_a_carbon_atom() -> None:
    # CO2 takes the place of O2 (CIPM-2007, molar mass of dry air): one carbon atom more, 12.011 of 28.965 g/mol.
    gain = moist_air_density(293.15, 101325.0, 0.0, co2=1.4e-3) / moist_air_density(293.15, 101325.0, 0.0) - 1.0
    assert gain == pytest.approx(1e-3 * 12.011 / 28.965, rel=1e-3)


def test_every_value_out_of_range_is_named_at_once() -> None:
    with pytest.raises(InputError) as caught:
        moist_air_density(20.0, 1013.25, 50.0, float("nan"))  # Celsius, hPa, percent: the likely mistakes
    assert [fault.where for fault in caught.value.faults] == ["temperature", "pressure", "humidity", "co2"]
    assert "223.15 to 333.15 K" in str(caught.value)
