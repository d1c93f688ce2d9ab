"""The belief against its equations written down in numpy, and against counting."""

from dataclasses import replace

import numpy as np
import pytest
from batting import CURVE, FASTBALL, MIX, PROFESSIONAL, columns, face, in_mind, noise_of
from equations import beliefs
from numpy.typing import NDArray

from latebreak.perception.belief import believe, distances
from latebreak.perception.parameters import uncertain
from latebreak.perception.seeing import GLANCE, see

Array = NDArray[np.float64]


@pytest.mark.parametrize("throws", [5, 128, 300])
@pytest.mark.parametrize("time", [0.03, 0.12, 0.3])
def test_against_its_equations(throws: int, time: float) -> None:
    """Over draws of what is not known, in and across blocks of lanes. The elementary functions are good to 1e-11."""
    p = uncertain(PROFESSIONAL, 2, np.random.default_rng(5))
    types, noise = in_mind(MIX, p), noise_of(throws)
    glance = see(columns(CURVE.paths(throws), 3), np.full((3, throws), time), p, True)
    belief, _ = beliefs(glance, types, p, noise)
    _, distance = beliefs(glance, types, p, 0.0 * noise)
    np.testing.assert_allclose(believe(glance, types, p, noise), belief, atol=1e-9)
    np.testing.assert_allclose(distances(glance, types, p), distance, rtol=1e-9)


def test_the_share_is_what_is_believed_of_what_nothing_tells() -> None:
    types = in_mind({"one": (FASTBALL, 0.7), "other": (FASTBALL, 0.3)}, PROFESSIONAL)
    glance = see(FASTBALL.paths(32), np.full((1, 32), 0.2), PROFESSIONAL, True)
    np.testing.assert_allclose(believe(glance, types, PROFESSIONAL, noise_of(32))[0], 0.7, rtol=1e-12)


def test_what_is_drawn_is_in_the_filter() -> None:
    """Of throws whose speed scatters as he expects it, he is right as often as he believes: of those that he holds to
    be the slower pitch with some belief, that share is. Two types that differ by speed alone; bins of belief to three
    standard errors.
    """
    rng, throws = np.random.default_rng(2), 40_000
    p = PROFESSIONAL.with_(line_efficiency=1e-9, bend_efficiency=1e-9, memory_error=0.0)
    # without spin the bend tells nothing, and lines are made the same
    fast, slow = (replace(FASTBALL, rate=0.0, speed=speed, scatter=0.0) for speed in (92.0, 84.0))
    types = in_mind({"fast": (fast, 0.6), "slow": (slow, 0.4)}, p)
    types = replace(types, line=np.repeat(types.line[:1], 2, axis=0), bend=np.repeat(types.bend[:1], 2, axis=0))
    glance = np.repeat(see(fast.mean, np.array([[0.25]]), p, False), throws, axis=2)
    is_slow = rng.random(throws) < 0.4
    scatter = float(p.speed_scatter[0]) * rng.standard_normal(throws)
    glance[GLANCE.index("log_speed"), 0] = np.where(is_slow, *types.log_speed[[1, 0], 0]) + scatter
    noise = rng.standard_normal((9, throws))
    belief = believe(glance, types, p, noise)[1, 0]
    for low in np.arange(0.0, 1.0, 0.1):
        bin_ = (belief >= low) & (belief < low + 0.1)
        if bin_.sum() > 400:
            error = np.sqrt(0.25 / bin_.sum())
            assert abs(is_slow[bin_].mean() - belief[bin_].mean()) < 3.0 * error, low


def test_the_most_different_pitch_is_told_best() -> None:
    own = [float(face(name).belief[number].mean()) for number, name in enumerate(MIX)]
    shares = [share for _, share in MIX.values()]
    assert (np.array(own) > shares).all()
    assert own[2] > own[1] > own[3]  # curve, slider, changeup
