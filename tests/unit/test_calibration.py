"""The calibration: what it recovers, what it writes, what it says."""

import re
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.perception import calibration
from latebreak.perception.calibration import Fit, comparison, fit, main, professional, rewritten, ridge, with_fitted
from latebreak.perception.experiments import not_fastballs, odds_ratio
from latebreak.perception.hitter import LEVELS, PARAMETER_FILE, TRAITS
from latebreak.perception.published import PUBLISHED, fitted_figures

FITTED_TABLES = {"evidence_efficiency", "movement_error", "direction_error", "motor_height"}
TEXT = PARAMETER_FILE.read_text(encoding="utf-8")


def some_fit(efficiency: float, error: float, height: float, sd: float = 0.05) -> Fit:
    return Fit(np.array([efficiency, error, height]), sd**2 * np.eye(3), 0.0)


@pytest.mark.slow
@pytest.mark.parametrize("truth", [(0.04, 0.30, 0.010), (0.15, 0.50, 0.016)])
def test_simulated_hitters_give_their_parameters_back(truth: tuple[float, float, float]) -> None:
    """Figures of hitters with known F, tau0 and mot_z, from other throws and other noise than the fit's.

    Over twelve pairs of other seeds the logarithms of F and tau0 scattered with SDs of up to 0.044 and 0.0034 about the
    truth: four of them. mot_z follows from the sweet spot and tau0's error there is nil: only the solver's tolerance.
    """
    simulated = fitted_figures(with_fitted(professional(), np.array(truth)[:, None]), seed=11)
    found = fit(professional(), {name: float(simulated[name][0]) for name in calibration.FITTED_FIGURES}, seed=12)
    efficiency, error, height = np.log(found.values / truth)
    assert efficiency == pytest.approx(0.0, abs=4 * 0.044)
    assert error == pytest.approx(0.0, abs=4 * 0.0034)
    assert height == pytest.approx(0.0, abs=0.002)
    assert found.misfit < 0.1  # the targets can all be met


@pytest.mark.slow
def test_the_package_carries_the_fit() -> None:
    """The parameter file holds what the command would write: three digits, so half a percent, and a little for the
    library's rounding.
    """
    found = fit(professional())
    own = professional()
    carried = np.array([own.evidence_efficiency[0], own.movement_error[0], own.motor_height[0]])
    np.testing.assert_allclose(carried, found.values, rtol=0.007)
    assert own.direction_error[0] == own.movement_error[0]


def test_side_by_side_is_one_by_one() -> None:
    values = np.array([[0.05, 0.2], [0.3, 0.6], [0.01, 0.02]])
    together = fitted_figures(with_fitted(professional(), values))
    for column in range(2):
        alone = fitted_figures(with_fitted(professional(), values[:, [column]]))
        for name, figure in alone.items():
            assert together[name][column] == pytest.approx(figure[0], rel=1e-9)


def test_writing_changes_the_fitted_values_and_nothing_else() -> None:
    before = tomllib.loads(TEXT)
    text = rewritten(TEXT, some_fit(0.2, 0.5, 0.020))
    after = tomllib.loads(text)
    assert (after["evidence_efficiency"]["professional"], after["motor_height"]["professional"]) == (0.2, 20.0)
    assert after["movement_error"]["professional"] == after["direction_error"]["professional"] == 0.5
    for name, table in after.items():
        allowed = {*LEVELS, "range"} if name in FITTED_TABLES else set()
        assert {key for key in table if table[key] != before[name][key]} == allowed
        for level in LEVELS if allowed else ():
            ratio = before[name][level] / before[name]["professional"]
            assert table[level] / table["professional"] == pytest.approx(ratio, rel=0.006)  # three digits
            assert isinstance(table[level], float)
    comments = re.findall(r"(?m)^#.*$", text)
    assert comments == re.findall(r"(?m)^#.*$", TEXT)
    assert [line.split("=")[0] for line in text.splitlines()] == [line.split("=")[0] for line in TEXT.splitlines()]


def test_a_range_keeps_its_ratio_about_the_new_value_or_widens_to_the_fit() -> None:
    low, high = tomllib.loads(TEXT)["evidence_efficiency"]["range"]
    kept = tomllib.loads(rewritten(TEXT, some_fit(0.2, 0.5, 0.02)))["evidence_efficiency"]["range"]
    assert kept[1] / kept[0] == pytest.approx(high / low, rel=0.011)  # two ends of three digits
    assert np.sqrt(kept[0] * kept[1]) == pytest.approx(0.2, rel=0.011)
    wide = tomllib.loads(rewritten(TEXT, some_fit(0.2, 0.5, 0.02, sd=1.0)))["evidence_efficiency"]["range"]
    assert np.log(wide[1] / wide[0]) == pytest.approx(2 * 1.645, rel=0.011)


def test_writing_again_changes_nothing() -> None:
    once = rewritten(TEXT, some_fit(0.1234, 0.4567, 0.0189, sd=0.8))
    assert rewritten(once, some_fit(0.1234, 0.4567, 0.0189, sd=0.8)) == once


def test_the_command_writes_only_when_asked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = tmp_path / "parameters.toml"
    copy.write_text(TEXT, encoding="utf-8")
    monkeypatch.setattr(calibration, "TRADED", ("lapse",))  # one refit in place of three: the rest is alike
    monkeypatch.setattr(calibration, "fit", lambda *_: some_fit(0.11, 0.41, 0.0123))
    main([], copy)
    assert copy.read_text(encoding="utf-8") == TEXT
    main(["--write"], copy)
    assert tomllib.loads(copy.read_text(encoding="utf-8"))["motor_height"]["professional"] == 12.3
    said = capsys.readouterr().out
    assert all(row.what in said for row in PUBLISHED.values())
    assert "OUTSIDE" in said
    assert "lapse = 0.007" in said


def test_the_table_says_inside_and_outside() -> None:
    head, *rows = comparison(professional())
    assert len(rows) == len(PUBLISHED)
    inside = head.index("inside?")
    for row, published in zip(rows, PUBLISHED.values(), strict=True):
        figure = float(row[head.index("model")].split()[0])
        assert (row[inside] == "inside") == published.holds(figure)
    # a hitter of other traits, other words: one who uses all of the evidence is hardly helped by being told
    sharp = replace(professional(), evidence_efficiency=np.ones(1))
    assert comparison(sharp)[1][inside] == "OUTSIDE"


def test_the_ridge_is_that_of_the_covariance() -> None:
    found = Fit(np.array([0.1, 0.4, 0.012]), np.array([[0.04, 0.01, 0.0], [0.01, 0.01, 0.0], [0.0, 0.0, 0.09]]), 0.0)
    _, first, second, third = ridge(found)
    assert first == ("F", "0.1", "0.20", "+1.00", "+0.50", "+0.00")
    assert second[2:4] == ("0.10", "+0.50")
    assert third[1:3] == ("12 mm", "0.30")


def test_odds_ratios_and_means_by_share() -> None:
    assert odds_ratio(np.array([0.8]), np.array([0.5]))[0] == pytest.approx(4.0)
    chances: dict[str, NDArray[np.float64]] = {
        "fastball": np.array([9.0]), "curve": np.array([1.0]), "slider": np.array([2.0]), "changeup": np.array([3.0])
    }  # fmt: skip
    assert not_fastballs(chances)[0] == pytest.approx((0.12 * 1 + 0.18 * 2 + 0.15 * 3) / 0.45)


def test_traits_side_by_side_differ_in_the_fitted_ones_only() -> None:
    own = professional()
    pair = with_fitted(own, np.array([[0.05, 0.2], [0.3, 0.6], [0.01, 0.02]]))
    for name in TRAITS:
        expected = np.repeat(getattr(own, name), 2)
        assert np.array_equal(getattr(pair, name), expected) == (name not in FITTED_TABLES)
