"""Tables and text at any width: every line fits, and no number is parted from its unit or its interval's other end."""

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console
from rich.text import Text

from latebreak.service.quantities import Said
from latebreak.service.tables.layout import Row, items, prose, show_table

NAMES = ("Four-seam fastball, across the horseshoe", "curve", "Knuckle curve, spiked", "x" * 30, "\u6295\u7403 change")
CELLS = (
    Said("39.6 ft", "33.6 to 43.8", "from the plate"),
    Said("0.29 ft glove side", "0.97 arm to 1.54 glove"),
    Said("all the way to the plate"),
    Said("137.1 km/h", "134.3 to 139.9"),
    Said(""),
)
LABELS = ("swings", "strikes without contact, whole mix", "blind break, after the last look that counts")


def page(width: int) -> Console:
    return Console(file=io.StringIO(), width=width)


def printed(out: Console) -> str:
    assert isinstance(out.file, io.StringIO)
    return out.file.getvalue()


@given(
    st.sampled_from([50, 60, 80, 100, 120, 200]),
    st.integers(1, 5),
    st.lists(st.tuples(st.sampled_from(LABELS), st.permutations(CELLS)), min_size=1, max_size=6),
)
def test_no_cell_is_broken(width: int, pitches: int, drawn: list[tuple[str, list[Said]]]) -> None:
    rows: list[Row] = [("Is it missed?", ()), *((label, cells[:pitches]) for label, cells in drawn)]
    out = page(width)
    show_table(out, NAMES[:pitches], rows)
    text = printed(out)
    assert all(Text(line).cell_len <= width for line in text.splitlines())
    words = " ".join(text.replace("\u2500", " ").split())
    assert "\ue000" not in text
    for label, cells in rows:
        for word in label.split():
            assert word in words
        for said in cells:
            assert said.value in text
            assert not said.interval or f"({said.interval})" in text
    for word in " ".join(NAMES[:pitches]).split():
        assert word in words


HEADS, ROWS = ("curve_spike", "curve_standard"), [("swings", (Said("46.7 %", "43.4 to 49.7"),) * 2)]


@pytest.mark.parametrize(
    ("width", "lines"),
    [
        (60, ["swings 46.7 % (43.4 to 49.7) 46.7 % (43.4 to 49.7)"]),
        (42, ["swings 46.7 % 46.7 %", "(43.4 to 49.7) (43.4 to 49.7)"]),
        (37, ["swings", "curve_spike 46.7 %", "(43.4 to 49.7)", "curve_standard 46.7 %", "(43.4 to 49.7)"]),
    ],
)
def test_what_does_not_fit_goes_below_then_is_stacked(width: int, lines: list[str]) -> None:
    out = page(width)
    show_table(out, HEADS, ROWS)
    told = [" ".join(line.split()) for line in printed(out).splitlines()]
    assert told[-len(lines) :] == lines


@given(st.integers(24, 130))
def test_text_is_broken_between_words_only(width: int) -> None:
    words = "a difference of 1.9 points (90 %: -0.9 to 3.3; chance over 99 %), 27.1 mph with 2,300 rpm"
    out = page(width)
    prose(out, words)
    lines = printed(out).splitlines()
    assert " ".join(lines) == words
    assert max(map(len, lines)) <= min(width, 120)
    for bound in ("1.9 points", "90 %: -0.9 to 3.3", "chance over", "99 %", "27.1 mph", "2,300 rpm"):
        assert any(bound in line for line in lines)


def test_items_go_on_below_their_text() -> None:
    out = page(40)
    items(out, [("speed", Text("1.4 mph faster, and no more than that")), ("spin rate", Text("out of reach"))])
    assert printed(out).splitlines() == [
        "speed      1.4 mph faster, and no more",
        "           than that",
        "spin rate  out of reach",
    ]
