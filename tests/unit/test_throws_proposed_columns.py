"""A proposed column map: what is proposed reads the file as it was meant, and what is open is not proposed."""

import csv
import io
import tomllib
from collections.abc import Mapping, Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from latebreak.service.throws.column_map import read_column_map
from latebreak.service.throws.header_words import told_by
from latebreak.service.throws.loading import MAX_MAP_BYTES, parse_throws
from latebreak.service.throws.proposing import propose

#: Throws of an invented right-hander, in canonical units: a fastball and a curve in turn (sizes: common practice).
TRUE = {
    "speed_mph": np.array([88.1, 74.2, 89.3, 75.0, 88.8, 74.6]),
    "spin_rpm": np.array([2210.0, 2430.0, 2190.0, 2465.0, 2240.0, 2390.0]),
    "break_clock_deg": np.array([25.0, 215.0, 20.0, 210.0, 30.0, 220.0]),
    "efficiency_percent": np.array([94.0, 71.0, 95.0, 68.0, 93.0, 74.0]),
    "release_side_ft": np.array([-1.9, -1.7, -1.8, -1.75, -2.0, -1.8]),
    "release_height_ft": np.array([5.8, 5.9, 5.85, 5.95, 5.8, 5.9]),
    "extension_ft": np.array([6.1, 5.9, 6.2, 5.8, 6.1, 6.0]),
    "induced_vertical_break_in": np.array([16.1, -11.8, 15.2, -12.5, 16.8, -10.9]),
    "induced_side_break_in": np.array([-7.2, 8.1, -6.5, 7.7, -8.3, 9.0]),
}
PITCH = ("Heater", "Bender") * 3
Written = tuple[str, str, float, float]  # header, key, written = canonical / factor, precision in the canonical unit

US: list[Written] = [
    ("Release Speed", "speed_mph", 1.0, 0.05),
    ("Spin Rate [rpm]", "spin_rpm", 1.0, 0.5),
    ("Spin Direction", "break_clock_deg", 1.0, 0.5),
    ("Spin Efficiency (%)", "efficiency_percent", 1.0, 0.5),
    ("Release Side", "release_side_ft", 1.0, 0.005),
    ("Release Height", "release_height_ft", 1.0, 0.005),
    ("Extension", "extension_ft", 1.0, 0.005),
    ("Induced Vertical Break", "induced_vertical_break_in", 1.0, 0.05),
    ("Horizontal Break", "induced_side_break_in", 1.0, 0.05),
]
#: km/h, m and cm of the international units, exact.
METRIC: list[Written] = [
    ("velo_kmh", "speed_mph", 1.0 / 1.609344, 0.05),
    ("spin", "spin_rpm", 1.0, 0.5),
    ("eff", "efficiency_percent", 100.0, 0.5),
    ("side rel", "release_side_ft", 1.0 / 0.3048, 0.02),
    ("height rel", "release_height_ft", 1.0 / 0.3048, 0.02),
    ("ext", "extension_ft", 1.0 / 0.3048, 0.02),
    ("break_vert", "induced_vertical_break_in", 1.0 / 2.54, 0.05),
    ("break_horz", "induced_side_break_in", 1.0 / 2.54, 0.05),
]
SPOKEN: list[Written] = [
    ("Velocity of the ball, m/s", "speed_mph", 1.0 / 0.44704, 0.2),
    ("Rotation (rev/s)", "spin_rpm", 60.0, 6.0),
    ("Axis", "break_clock_deg", 1.0, 0.5),
    ("Lateral movement", "induced_side_break_in", 1.0, 0.05),
    ("Height at release (m)", "release_height_ft", 1.0 / 0.3048, 0.02),
]


def text_of(
    written: Sequence[Written], pitch: str, *, delimiter: str = ",", comma: bool = False, bom: bool = False
) -> bytes:
    """A file of the true throws, as a device would write it."""
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter, quoting=csv.QUOTE_ALL if delimiter == "," else csv.QUOTE_MINIMAL)
    writer.writerow([pitch, *(header for header, *_ in written)])
    for row, name in enumerate(PITCH):
        numbers = (f"{TRUE[key][row] / factor:.2f}" for _, key, factor, _ in written)
        writer.writerow([name, *(one.replace(".", ",") if comma else one for one in numbers)])
    return out.getvalue().encode("utf-8-sig" if bom else "utf-8")


@pytest.mark.parametrize(
    ("content", "written"),
    [
        (text_of(US, "Pitch Type"), US),
        (text_of(METRIC, "pitch_name", delimiter=";", comma=True), METRIC),
        (text_of(METRIC, "type", delimiter="\t", bom=True), METRIC),
        (text_of(SPOKEN, "Pitch", delimiter="|"), SPOKEN),
    ],
    ids=["words", "metric, semicolons, decimal commas", "tabs, byte-order mark", "sentences, bars"],
)
def test_what_is_proposed_reads_the_throws_as_they_were(content: bytes, written: list[Written]) -> None:
    proposed = propose(content, "throws.csv")
    throws = parse_throws(content, proposed.encode())
    assert throws.pitch == PITCH
    assert set(throws.values) == {key for _, key, _, _ in written}, proposed
    for _, key, _, precision in written:
        assert throws.values[key] == pytest.approx(TRUE[key], abs=precision), key
    for line, before in zip(proposed.splitlines()[1:], proposed.splitlines(), strict=False):
        if line.startswith('"'):
            assert before.startswith("# "), f"no reason above {line}"


def columns(cells: Mapping[str, Sequence[object]]) -> bytes:
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(cells)
    writer.writerows(zip(*cells.values(), strict=True))
    return out.getvalue().encode()


def mapped(content: bytes) -> dict[str, object]:
    return dict(tomllib.loads(propose(content, "throws.csv"))["columns"])


@pytest.mark.parametrize(
    ("cells", "header", "said"),
    [
        ({"Height": [5.9, 5.8]}, "Height", ["release_height_ft", "arrival_height_ft", "does not tell which"]),
        ({"Exit Speed": [91.0, 99.0]}, "Exit Speed", ["what does 'exit' say?"]),
        ({"Speed": [91.0, 90.0]}, "Speed", ["fits mph or km/h", 'unit = "km/h"']),
        ({"Speed (mph)": [142.0, 144.0]}, "Speed (mph)", ["in mph, but", "which fits km/h"]),
        ({"Spin rate (ft)": [2200, 2300]}, "Spin rate (ft)", ["ft is no unit of it"]),
        ({"Velo": [91.0, 90.0], "Speed": [91.0, 90.0], "Extension": [6.0, 6.1]}, "Velo", ["'Speed' says so too"]),
        ({"Spin axis": [1.25, 1.5]}, "Spin axis", ["hours of a clock"]),
        ({"Spin axis": [205, 30], "Speed mph": [92, 75]}, "Spin axis", ["hardest throws point down", "180"]),
        ({"Vertical break": [-14, -40], "Speed mph": [92, 75]}, "Vertical break", ["drop by gravity"]),
        ({"Pitch": [1, 2]}, "Pitch", ["its cells are numbers"]),
        ({"Speed": ["fast", "slow"]}, "Speed", ["its cells are no numbers"]),
        ({"speed_mph": [142, 144]}, "speed_mph", ["which fits km/h", 'unit = "km/h"']),
    ],
)
def test_what_is_open_is_left_out_with_its_choices(
    cells: dict[str, list[object]], header: str, said: list[str]
) -> None:
    content = columns(cells)
    assert header not in mapped(content)
    proposed = propose(content, "throws.csv")
    lines = [line for line in proposed.splitlines() if line.startswith("#")]
    assert any(f'"{header}" = ' in line for line in lines), proposed
    assert all(any(words in line for line in lines) for words in said), proposed


def test_clock_times_come_before_degrees_and_the_fuller_name_before_the_shorter() -> None:
    found = mapped(
        columns(
            {
                "Spin axis (deg)": [20, 30],
                "Spin clock": ["12:40", "1:00"],
                "Speed": [142, 141],
                "Release speed": [143, 142],
            }
        )
    )
    assert found == {
        "Spin clock": {"key": "break_clock_deg", "unit": "clock"},
        "Release speed": {"key": "speed_mph", "unit": "km/h"},
    }


@pytest.mark.parametrize(("sign", "one", "other"), [(-1.0, "right", "left"), (1.0, "left", "right")])
def test_the_view_is_left_open_with_what_speaks_for_it(sign: float, one: str, other: str) -> None:
    proposed = propose(
        columns({"Release side": [sign * 1.9, sign * 2.0], "Spin clock": ["1:00", "1:10"]}), "throws.csv"
    )
    assert "view" not in str(tomllib.loads(proposed))
    assert f"of a {one}-hander that is the catcher's view, of a {other}-hander the pitcher's" in proposed
    assert "Seen by pitcher or catcher?" in proposed


def test_what_nothing_is_known_of_is_listed() -> None:
    proposed = propose(columns({"Remark": ["ok", "so"], "Batter side": ["L", "R"], "A,B": [1, 2]}), "throws.csv")
    assert [line for line in proposed.splitlines() if line.startswith("#   ")] == [
        "#   'A,B'", "#   'Batter side'", "#   'Remark'",
    ]  # fmt: skip
    assert '# "NAME" = "pitch"' in proposed


def test_a_name_that_stands_twice_is_said() -> None:
    proposed = propose(b"Speed,Speed,Type\n90,91,a\n", "throws.csv")
    assert "'Speed' heads several columns" in proposed
    assert tomllib.loads(proposed)["columns"] == {"Type": "pitch"}


@pytest.mark.parametrize(
    ("header", "keys", "symbol"),
    [
        ("ReleaseSpeed", ("speed_mph",), ""),
        ("release_speed_kmh", ("speed_mph",), "km/h"),
        ("spinrate", ("spin_rpm",), ""),
        ("RPM", ("spin_rpm",), "rpm"),
        ("Spin Eff %", ("efficiency_percent",), "%"),
        ("Horizontal break in inches", ("induced_side_break_in",), "in"),
        ("vy0_ft_s", ("vy0_ft_s",), "ft/s"),
        ("Vert Rel Angle", ("launch_elevation_deg",), ""),
        ("Launch Angle", (), ""),
        ("Geschwindigkeit", (), ""),
        ("", (), ""),
    ],
)
def test_words_of_a_header(header: str, keys: tuple[str, ...], symbol: str) -> None:
    told = told_by(header)
    assert (told.keys, told.symbol) == (keys, symbol)


WORDS = (
    "speed", "Velo", "spin", "axis", "Spin clock", "release", "side", "height", "break", "vert", "horz", "type", "(km/h)",
    "cm", "[deg]", "%", "x", "plate", "foo", "#", "pitch", "speed_mph", "eff", "é", '"', "=", "\x7f", "'",
)  # fmt: skip
HEADERS = st.one_of(st.lists(st.sampled_from(WORDS), min_size=1, max_size=5).map(" ".join), st.text(max_size=300))
CELLS = st.one_of(
    st.floats(-400.0, 400.0).map(lambda value: f"{value:.2f}"),
    st.sampled_from(["7:05", "", "-", "n/a", "89,2", "1,234", "Fast", "é"]),
    st.text(max_size=5),
)


@st.composite
def files(draw: st.DrawFn) -> list[list[str]]:
    """A header and rows; no zero bytes and surrogates, which no text file has."""
    width = draw(st.integers(1, 8))
    plain = lambda text: "".join(c for c in text if c != "\0" and not "\ud800" <= c <= "\udfff")  # noqa: E731
    header = draw(st.lists(HEADERS.map(plain), min_size=width, max_size=width))
    rows = draw(st.lists(st.lists(CELLS.map(plain), min_size=width, max_size=width), max_size=5))
    return [["Type", *header], *(["Fast", *row] for row in rows)]


def written(table: list[list[str]]) -> bytes:
    out = io.StringIO()
    csv.writer(out, quoting=csv.QUOTE_ALL).writerows(table)
    return out.getvalue().encode()


@given(files(), st.randoms(use_true_random=False))
def test_a_proposal_always_loads_and_the_order_of_the_columns_is_nothing_to_it(
    table: list[list[str]], chance: object
) -> None:
    proposed = propose(written(table), "throws.csv")
    assert len(proposed.encode()) <= MAX_MAP_BYTES
    read_column_map(tomllib.loads(proposed), "map", None)
    order = list(range(len(table[0])))
    chance.shuffle(order)  # type: ignore[attr-defined]
    assert propose(written([[row[index] for index in order] for row in table]), "throws.csv") == proposed


def test_a_map_of_hundreds_of_columns_can_be_read() -> None:
    names = [f"{'speed ' * 40}{number}" for number in range(250)] + [
        f"\N{SNOWMAN}{number}" * 20 for number in range(250)
    ]
    proposed = propose(written([names, ["90"] * len(names)]), "throws.csv")
    assert len(proposed.encode()) <= MAX_MAP_BYTES
    read_column_map(tomllib.loads(proposed), "map", None)
