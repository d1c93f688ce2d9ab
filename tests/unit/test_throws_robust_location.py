"""Where the throws of a pitch lie, and the cut beyond which a throw is none of them."""

import numpy as np
import pytest

from latebreak.service.throws.measured import usual_spread
from latebreak.service.throws.robust_location import FALSE_ALARM, FAR_IN_USUAL, FLOOR_SHARE, cut, robust_location


@pytest.mark.parametrize("count", [5, 6, 7, 8, 12, 23, 24, 40, 100])
def test_a_clean_normal_sample_keeps_within_the_cut(count: int) -> None:
    # The cut alone, without help from the usual spread: far from the smallest scale, so that only the sample counts.
    draws, tiny = 8_000, 1e-9
    samples = np.random.default_rng(20261).standard_normal((draws, count))
    lost = 0
    for sample in samples:
        found = robust_location("speed_mph", sample, tiny)
        assert found is not None
        lost += bool(found.distance(sample).max() > cut(count))
    # 3 standard errors of a count above the promised share.
    expected = draws * FALSE_ALARM
    assert lost <= expected + 3.0 * np.sqrt(expected)


@pytest.mark.parametrize("count", [5, 8, 12, 24, 100])
def test_the_scale_is_the_standard_deviation_of_a_normal_sample(count: int) -> None:
    samples = 1.3 * np.random.default_rng(7).standard_normal((4000, count))
    scales = [found.scale for sample in samples if (found := robust_location("speed_mph", sample, 1e-9))]
    # The median over samples, because small samples have a lopsided scale; the constant is right to 5 %.
    assert np.median(scales) == pytest.approx(1.3, rel=0.05)


def test_up_to_a_quarter_of_slips_do_not_hide_each_other() -> None:
    rng = np.random.default_rng(3)
    sample = 90.0 + rng.standard_normal(24)
    sample[:6] = 60.0
    found = robust_location("speed_mph", sample, 1.0)
    assert found is not None
    assert found.centre == pytest.approx(90.0, abs=1.0)
    np.testing.assert_array_equal(found.distance(sample) > found.cut, np.arange(24) < 6)


def test_fewer_than_five_throws_tell_nothing() -> None:
    assert robust_location("speed_mph", np.array([1.0, 2.0, 3.0, 4.0, np.nan]), 1.0) is None


def test_numbers_without_scatter_get_a_scale_from_the_usual_spread() -> None:
    usual = usual_spread("college")["speed_mph"]
    found = robust_location("speed_mph", np.array([78.0] * 9 + [79.0, 77.0, np.nan]), usual)
    assert found is not None
    assert (found.count, found.centre, found.scale) == (11, 78.0, FLOOR_SHARE * usual)


def test_in_small_samples_the_usual_spread_bounds_the_cut() -> None:
    # Five throws scattered as usual: their own scale alone would allow 15 times as much.
    found = robust_location("speed_mph", np.array([76.9, 77.6, 78.0, 78.9, 79.4]), 1.0)
    assert found is not None
    assert found.cut < cut(5)
    assert found.cut * found.scale == pytest.approx(FAR_IN_USUAL * max(1.0, found.scale))


@pytest.mark.parametrize("turn", [0.0, 90.0, 179.0, 355.0])
def test_clock_directions_wrap(turn: float) -> None:
    offsets = np.array([-8.0, -5.0, -3.0, 0.0, 1.0, 4.0, 6.0, 9.0])
    straight = robust_location("break_clock_deg", offsets + 180.0, 1.0)
    turned = robust_location("break_clock_deg", (offsets + turn) % 360.0, 1.0)
    assert straight is not None
    assert turned is not None
    # Degrees of a clock are read to half a degree; 1e-9 is rounding of the circular mean.
    assert (turned.centre - straight.centre - turn + 360.0) % 180.0 == pytest.approx(0.0, abs=1e-9)
    assert turned.scale == pytest.approx(straight.scale, rel=1e-9)
    np.testing.assert_allclose(turned.distance((offsets + turn) % 360.0), straight.distance(offsets + 180.0), rtol=1e-6)
    assert turned.distance(np.array([turned.centre + 180.0]))[0] == pytest.approx(180.0 / turned.scale)


def test_a_younger_level_scatters_more() -> None:
    youth, professional = usual_spread("youth"), usual_spread("professional")
    assert all(youth[key] == pytest.approx(2.0 * professional[key]) for key in professional)
