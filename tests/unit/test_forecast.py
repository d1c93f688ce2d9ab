"""The forecast against its equations written down in numpy."""

import numpy as np
import pytest
from batting import CURVE, MIX, PROFESSIONAL, columns, in_mind, noise_of
from equations import forecasts
from numpy.typing import NDArray

from latebreak.perception.belief import believe
from latebreak.perception.forecast import FORECAST_X, FORECAST_Z, TIME_TO_GO, foresee
from latebreak.perception.parameters import uncertain
from latebreak.perception.seeing import ARRIVAL_X, ARRIVAL_Z, REMAINING, see

Array = NDArray[np.float64]


@pytest.mark.parametrize("throws", [5, 128, 300])
def test_against_its_equations(throws: int) -> None:
    p = uncertain(PROFESSIONAL, 2, np.random.default_rng(5))
    types, noise = in_mind(MIX, p), noise_of(throws)
    glance = see(columns(CURVE.paths(throws), 3), np.full((3, throws), 0.22), p, True)
    belief = believe(glance, types, p, noise)
    expected = forecasts(glance, belief, types, p, noise)
    np.testing.assert_allclose(foresee(glance, belief, types, p, noise), expected, rtol=1e-9, atol=1e-10)


def test_belief_in_the_wrong_type_is_what_surprises() -> None:
    """Who takes the curve for a fastball expects it higher, and earlier; who knows it, where and when it comes."""
    noise = 0.0 * noise_of(1)
    types = in_mind(MIX, PROFESSIONAL)
    glance = see(CURVE.mean, np.array([[0.24]]), PROFESSIONAL, True)
    as_fastball, as_curve = (
        foresee(glance, np.eye(4)[kind][:, None, None], types, PROFESSIONAL, noise)[:, 0, 0] for kind in (0, 2)
    )
    actual = glance[:, 0, 0]
    assert as_fastball[FORECAST_Z] - actual[ARRIVAL_Z] > 0.2
    assert as_fastball[TIME_TO_GO] < actual[REMAINING]
    np.testing.assert_allclose(as_curve[[FORECAST_X, FORECAST_Z]], actual[[ARRIVAL_X, ARRIVAL_Z]], atol=0.01)
    np.testing.assert_allclose(as_curve[TIME_TO_GO], actual[REMAINING], rtol=1e-12)


def test_the_forecast_lies_between_those_of_the_types() -> None:
    noise, types = noise_of(64), in_mind(MIX, PROFESSIONAL)
    glance = see(CURVE.paths(64), np.full((1, 64), 0.24), PROFESSIONAL, True)
    alone = np.array([
        foresee(glance, np.eye(4)[kind][:, None, None] * np.ones((1, 1, 64)), types, PROFESSIONAL, noise)
        for kind in range(4)
    ])  # fmt: skip
    mixed = foresee(glance, believe(glance, types, PROFESSIONAL, noise), types, PROFESSIONAL, noise)
    assert (mixed <= alone.max(axis=0) + 1e-12).all()
    assert (mixed >= alone.min(axis=0) - 1e-12).all()
