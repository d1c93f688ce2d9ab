"""The belief against its equations written down in numpy, and against counting."""

import numpy as np
import pytest
from batting import CURVE, FASTBALL, MIX, PROFESSIONAL, columns, face, in_mind, noise_of, replace
from numpy.typing import NDArray
from scipy.special import softmax

from latebreak.engine.units import INCH
from latebreak.perception.belief import believe, distances
from latebreak.perception.parameters import Parameters, uncertain
from latebreak.perception.repertoire import Types
from latebreak.perception.seeing import GLANCE, see

Array = NDArray[np.float64]


def by_the_equations(glance: Array, types: Types, p: Parameters, n: Array) -> tuple[Array, Array]:
    """Beliefs and distances as in the text of `latebreak.perception.belief`."""
    seen = dict(zip(GLANCE, glance, strict=True))
    lag, start, memory = p.motion_lag[:, None], p.view_start[:, None], p.memory_error[:, None]
    viewed = np.maximum(seen["time"] - start, 0.005)
    weight = np.maximum(viewed - lag, 0.0) / 2.0
    s_e = seen["direction_sd"] * seen["speed"]
    s_b = s_e * np.sqrt(1.0 / p.bend_efficiency[:, None] - 1.0)
    odds, distance = [], []
    for h in range(len(types.names)):
        tau = types.line_sd[h][:, None]
        s_l = np.sqrt(seen["direction_sd"] ** 2 + tau**2 * (1.0 / p.line_efficiency[:, None] - 1.0))
        ax, az = (types.bend[h, :, axis][:, None] for axis in (0, 1))
        remembered = (ax + memory * (n[7] * ax - n[8] * az), az + memory * (n[7] * az + n[8] * ax))
        s_m = memory * np.hypot(ax, az) * weight
        speed = seen["log_speed"] + seen["speed_sd"] * n[2] - types.log_speed[h][:, None]
        d2 = speed**2 / (seen["speed_sd"] ** 2 + p.speed_scatter[:, None] ** 2)
        for axis, name in enumerate(("x", "z")):
            line = seen[f"line_{name}"] + s_l * n[3 + axis] - types.line[h, :, axis][:, None]
            bend = (seen[f"bend_{name}"] - remembered[axis]) * weight + s_e * n[axis] + s_b * n[5 + axis]
            d2 = d2 + line**2 / (tau**2 + s_l**2)
            d2 = d2 + bend**2 / (s_e**2 + s_b**2 + s_m**2 + (INCH / viewed) ** 2)
        distance.append(np.sqrt(d2))
        odds.append(types.log_share[h][:, None] - d2 / 2.0 - np.log(tau**2 + s_l**2))
    return softmax(np.array(odds), axis=0), np.array(distance)


@pytest.mark.parametrize("throws", [5, 128, 300])
@pytest.mark.parametrize("time", [0.03, 0.12, 0.3])
def test_against_its_equations(throws: int, time: float) -> None:
    """Over draws of what is not known, in and across blocks of lanes. The elementary functions are good to 1e-11."""
    p = uncertain(PROFESSIONAL, 2, np.random.default_rng(5))
    types, noise = in_mind(MIX, p), noise_of(throws)
    glance = see(columns(CURVE.paths(throws), 3), np.full((3, throws), time), p, True)
    belief, _ = by_the_equations(glance, types, p, noise)
    _, distance = by_the_equations(glance, types, p, 0.0 * noise)
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
