"""Colours: readable on their background, and apart for every kind of colour vision."""

from dataclasses import asdict
from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.service.report.figures.names import WIDEST, short
from latebreak.service.report.figures.palette import DARK, LIGHT, LOOKS, Palette, Role, variable

Array = NDArray[np.float64]
PALETTES = pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])

#: Machado, Oliveira & Fernandes, "A physiologically-based model for simulation of color vision deficiency", IEEE Trans.
#: Vis. Comput. Graph. 15 (2009): severity 1.0, linear RGB to linear RGB (values from memory).
SEEN_BY = {
    "everybody": np.eye(3),
    "protanopia": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "deuteranopia": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "tritanopia": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}


def linear(colour: str) -> Array:
    """Linear RGB of #rrggbb (IEC 61966-2-1; value from memory)."""
    s = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0
    return np.where(s <= 0.04045, s / 12.92, ((s + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    """Contrast ratio (W3C, Web Content Accessibility Guidelines 2.2, relative luminance; value from memory)."""
    dark, light = sorted(float(linear(colour) @ [0.2126, 0.7152, 0.0722]) for colour in (one, other))
    return (light + 0.05) / (dark + 0.05)


def lab(rgb: Array) -> Array:
    """CIE 1976 L*a*b* of linear RGB, white D65 (value from memory)."""
    to_xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    x, y, z = np.cbrt(np.maximum(to_xyz @ np.clip(rgb, 0.0, 1.0) / [0.9505, 1.0, 1.089], 0.008856))
    return np.array([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)])


def test_the_formula_of_contrast() -> None:
    """Black on white has 21, the most there is; #767676 on white just passes (both widely quoted)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert 4.5 <= contrast("#767676", "#ffffff") < 4.6


@pytest.mark.parametrize("matrix", SEEN_BY.values(), ids=SEEN_BY)
def test_white_stays_white(matrix: Array) -> None:
    assert matrix @ np.ones(3) == pytest.approx(np.ones(3), abs=2e-6)


@PALETTES
def test_words_are_readable(palette: Palette) -> None:
    """WCAG 2.2, 1.4.3: 4.5 to 1. Words beside a path have its colour."""
    roles: tuple[Role, ...] = ("text", "muted", "marks", *LOOKS)
    for role in roles:
        assert contrast(palette.colour(role), palette.background) >= 4.5, role


@PALETTES
def test_lines_are_seen(palette: Palette) -> None:
    """WCAG 2.2, 1.4.11: 3 to 1."""
    assert contrast(palette.spread, palette.background) >= 3.0


@PALETTES
@pytest.mark.parametrize("seen_by", SEEN_BY)
def test_paths_and_marks_stay_apart(palette: Palette, seen_by: str) -> None:
    """20 in L*a*b* is several times what one can just tell side by side, 2.3 (chosen; each has its dashes too)."""
    roles: tuple[Role, ...] = ("marks", *LOOKS)
    seen = {role: lab(SEEN_BY[seen_by] @ linear(palette.colour(role))) for role in roles}
    for one, other in combinations(seen, 2):
        assert np.linalg.norm(seen[one] - seen[other]) > 20.0, (one, other)


@PALETTES
def test_a_colour_tells_its_role(palette: Palette) -> None:
    colours = list(asdict(palette).values())
    assert len(set(colours)) == len(colours)
    assert "#000000" not in colours  # matplotlib leaves black text without a colour
    assert palette.variables()[variable("fastball")] == palette.fastball
    assert variable("two_words") == "--two-words"


def test_paths_differ_without_colour() -> None:
    """By their dashes, and their throws by their marker."""
    assert len({look.dashes for look in LOOKS.values()}) == len(LOOKS)
    assert len({look.marker for look in LOOKS.values()}) == len(LOOKS)


@pytest.mark.parametrize(
    ("name", "cut"),
    [
        ("curve", "curve"),
        ("x" * WIDEST, "x" * WIDEST),
        ("x" * (WIDEST + 1), "x" * (WIDEST - 1) + "…"),
        ("spike grip, second session", "spike grip, second se…"),
        ("knuckle curve of May, the 12th", "knuckle curve of May,…"),  # no space before the dots
        ("曲" * 11, "曲" * 11),
        ("曲" * 12, "曲" * 10 + "…"),
        ("e\N{COMBINING ACUTE ACCENT}" * 22, "e\N{COMBINING ACUTE ACCENT}" * 22),
        ("a\nb", "a\\nb"),
        ("a\N{RIGHT-TO-LEFT OVERRIDE}b", "a\\u202eb"),  # could turn around the words after it
    ],
)
def test_short_names(name: str, cut: str) -> None:
    assert short(name) == cut
