"""What a column means: keys, units and viewpoints, and the cells below it."""

import math
from typing import Any

import numpy as np
import pytest

from latebreak.engine.units import FOOT, INCH, KMH, MPH
from latebreak.service.scenario.pitch_entry import PitchEntry
from latebreak.service.scenario.section import Hand
from latebreak.service.throws import parse_throws
from latebreak.service.throws.cells import Decimals, evidence, read_clock, read_number, readings
from latebreak.service.throws.column_map import named
from latebreak.service.throws.foreign_units import factors, symbol_of
from latebreak.service.throws.measured import COLUMN_NAMES, MEASURED, OTHER_KEYS, SIDES, WORD_KEYS
from latebreak.service.throws.rows import find_delimiter


def column(key: str, cell: str, *, hand: Hand | None = None, **entry: str) -> float:
    """Read one cell through a map of its column."""
    columns = {"Kind": "pitch", "Number": {"key": key, **entry}}
    throws = parse_throws(f"Kind;Number\ncurve;{cell}\n".encode(), {"columns": columns}, "pen.csv", hand)
    assert throws.flags == ()
    ((found, values),) = throws.values.items()
    assert found in MEASURED
    return float(values[0])


@pytest.mark.parametrize("name", [name for name in COLUMN_NAMES if name not in WORD_KEYS])
def test_every_name_of_the_contract_is_read_in_its_unit(name: str) -> None:
    key = OTHER_KEYS.get(name, name)
    middle = {"vy0_ft_s": -100.0, "y0_ft": 50.0}.get(key, 20.0 if "mph" in key else 1.0)
    if name == "break_clock":
        assert column(name, "1:00") == 30.0
        return
    # Exact factors: see latebreak.engine.units.
    metric = {"_kmh": KMH / MPH, "_m": 1.0 / FOOT, "_cm": 0.01 / INCH, "_m_s": 1.0 / FOOT, "_m_s2": 1.0 / FOOT}
    endings = [ending for ending in metric if name in OTHER_KEYS and name.endswith(ending)]
    factor = metric[max(endings, key=len)] if endings else 1.0
    assert (factor != 1.0) == (name in OTHER_KEYS)
    assert column(name, f"{middle / factor:.17g}") == pytest.approx(middle, rel=1e-14)


def test_the_names_are_those_of_a_scenario_and_keep_its_ranges() -> None:
    shared = set(MEASURED) & set(PitchEntry.ranges())
    assert len(shared) == 10
    assert all(MEASURED[key] == PitchEntry.ranges()[key] for key in shared)


@pytest.mark.parametrize(
    ("key", "unit", "cell", "expected"),
    [
        ("speed_mph", "km/h", "144.84096", 90.0),  # 1 mile = 1.609344 km, exact
        ("speed_mph", "m/s", "40.2336", 90.0),
        ("speed_mph", "_kmh", "144.84096", 90.0),
        ("speed_kmh", "mph", "90", 90.0),
        ("speed_kmh", "", "144.84096", 90.0),
        ("spin_rpm", "rps", "40", 2400.0),
        ("spin_rpm", "rad/s", f"{80.0 * math.pi:.17g}", 2400.0),
        ("break_clock", "deg", "212.5", 212.5),
        ("break_clock_deg", "clock", "7:05", 212.5),
        ("break_clock_deg", "", "-30", 330.0),
        ("break_clock", "rad", f"{math.pi:.17g}", 180.0),
        ("efficiency_percent", "share", "0.94", 94.0),
        ("release_height_ft", "in", "72", 6.0),
        ("release_height_ft", "cm", "182.88", 6.0),
        ("induced_vertical_break_in", "cm", "25.4", 10.0),
        ("induced_vertical_break_in", "ft", "1", 12.0),
        ("launch_elevation_deg", "rad", f"{math.pi / 90.0:.17g}", 2.0),
        ("vx0_ft_s", "m/s", "0.3048", 1.0),
        ("az_ft_s2", "m/s²", "-9.144", -30.0),
    ],
)
def test_units_of_a_map(key: str, unit: str, cell: str, expected: float) -> None:
    entry: dict[str, Any] = {"unit": unit} if unit else {}
    assert column(key, cell, **entry) == pytest.approx(expected, rel=1e-14)


@pytest.mark.parametrize("key", sorted(SIDES))
@pytest.mark.parametrize(
    ("view", "hand", "sign"),
    [
        ("catcher", None, 1.0),
        ("pitcher", None, -1.0),  # the pitcher's right is the catcher's left
        ("arm_side", "right", -1.0),
        ("arm_side", "left", 1.0),
    ],
)
def test_views_of_a_side(key: str, view: str, hand: Hand | None, sign: float) -> None:
    assert column(key, "1.5", view=view, hand=hand) == 1.5 * sign


@pytest.mark.parametrize(
    ("view", "cell", "expected"),
    [
        ("pitcher", "1:00", 30.0),
        ("catcher", "11:00", 30.0),  # a mirrored face
        ("catcher", "12:00", 0.0),
        ("catcher", "6:00", 180.0),
    ],
)
def test_views_of_a_clock(view: str, cell: str, expected: float) -> None:
    assert column("break_clock", cell, view=view) == expected


def test_a_mirrored_face_in_degrees_keeps_what_is_impossible() -> None:
    columns = {"Kind": "pitch", "Axis": {"key": "break_clock", "unit": "deg", "view": "catcher"}}
    throws = parse_throws(b"Kind,Axis\ncurve,330\ncurve,30\ncurve,999\n", {"columns": columns})
    np.testing.assert_array_equal(throws.values["break_clock_deg"], [30.0, 330.0, -999.0])


def test_other_names_of_pitches() -> None:
    throws = parse_throws(b"pitch,speed_mph\nCU,78\nFB,91\n", {"pitches": {"CU": "curve"}})
    assert throws.pitch == ("curve", "FB")


def test_what_was_written_is_remembered() -> None:
    throws = parse_throws(b"pitch,speed_kmh\ncurve,125\n")
    written = throws.written["speed_mph"]
    assert (written.header, written.symbol) == ("speed_kmh", "km/h")
    assert throws.values["speed_mph"][0] / written.factor == pytest.approx(125.0, rel=1e-15)


def test_every_unit_has_a_dimension_and_every_spelling_a_unit() -> None:
    for quantity in MEASURED.values():
        units = factors(quantity.unit.symbol)
        assert units[quantity.unit.symbol] == 1.0
        assert symbol_of(quantity.unit.suffix) in units
    assert named("no_such_key") is None


@pytest.mark.parametrize(
    ("text", "with_point", "with_comma"),
    [
        ("89.2", 89.2, None),
        ("89,2", None, 89.2),
        ("2,250", 2250.0, 2.25),
        ("2.250", 2.25, 2250.0),
        ("1,234.5", 1234.5, None),
        ("1.234,5", None, 1234.5),
        ("1,234,567", 1234567.0, None),
        ("0,912", None, 0.912),
        ("-.5", -0.5, None),
        ("5.", 5.0, None),
        ("1e3", 1000.0, 1000.0),
        ("12,34.5", None, None),
        ("1 234", None, None),
        ("", None, None),
        (".", None, None),
        ("٣", None, None),
    ],
)
def test_readings_of_a_number(text: str, with_point: float | None, with_comma: float | None) -> None:
    assert readings(text) == (with_point, with_comma)


def test_evidence_of_decimals() -> None:
    def is_height(feet: float) -> bool:
        return 0.2 <= feet <= 10.0

    def is_spin(rpm: float) -> bool:
        return 0.0 <= rpm <= 6000.0

    assert evidence("5,912", is_height) is Decimals.COMMA
    assert evidence("5.912", is_height) is Decimals.POINT
    assert evidence("5912", is_height) is Decimals.UNKNOWN
    assert evidence("2,250", is_spin) is Decimals.UNKNOWN
    assert evidence("2250,5", is_spin) is Decimals.COMMA


def test_a_typographic_minus_is_a_minus() -> None:
    assert read_number("−1.9", Decimals.POINT, False, lambda feet: abs(feet) < 10.0, "ft").value == -1.9


@pytest.mark.parametrize(("text", "degrees"), [("12:00", 0.0), ("0:45", 22.5), ("07:05:00", 212.5), ("7:05 PM", 212.5)])
def test_clock_times(text: str, degrees: float) -> None:
    assert read_clock(text).value == degrees


@pytest.mark.parametrize("text", ["7", "7.05", "13:00", "7:5", "7:60", "7:05:30", "-7:05", "7;05"])
def test_what_is_no_clock_time(text: str) -> None:
    cell = read_clock(text)
    assert math.isnan(cell.value)
    assert "is not a clock time" in cell.reason


@pytest.mark.parametrize(
    ("line", "delimiter"),
    [
        ("pitch,speed_mph", ","),
        ("pitch;speed_mph", ";"),
        ("pitch\tspeed_mph", "\t"),
        ("pitch|speed_mph", "|"),
        ('pitch;speed_mph;"a,b,c,d,e"', ";"),  # known names weigh more than the number of columns
        ("foo;bar,baz;qux", ";"),
        ("pitch", ","),
    ],
)
def test_the_delimiter_is_found_in_the_header(line: str, delimiter: str) -> None:
    assert find_delimiter(line, lambda name: named(name) is not None) == delimiter
