"""The swing against a slow second implementation."""

from dataclasses import replace
from math import exp, sqrt

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import norm

from latebreak.perception.calibration import professional
from latebreak.perception.hitter import TRAITS, Traits
from latebreak.perception.model import HitterModel, belief_weighted, observer
from latebreak.perception.repertoire import meet, template, thrown
from latebreak.perception.swing import (
    BELIEF,
    CLEAN,
    CLEAN_HEIGHT,
    CLEAN_TIME,
    CONTACT,
    MEMORY,
    SIDE,
    SQUARE,
    SWING,
    TIMING,
    TOUCH,
    VERTICAL,
    Readiness,
    cut_offs,
    swing,
    within,
)

Array = NDArray[np.float64]
THROWS = 60


def two_sets() -> Traits:
    """Two columns that differ in what the swing itself uses and in what it builds on."""
    first = professional()
    second = first.with_(lapse=0.1, timing_window=0.02, motor_time=0.011, motor_height=0.02, evidence_efficiency=0.3)
    return Traits(**{name: np.concatenate([getattr(t, name) for t in (first, second)]) for name in TRAITS})


def readied(model: HitterModel, traits: Traits | None = None) -> Readiness:
    traits = two_sets() if traits is None else traits
    columns = traits.lapse.size
    types = [
        template(thrown("fastball"), 0.5, "fastball", 0.3, columns),
        template(thrown("slider"), 0.3, "breaking", 0.3, columns),
        template(thrown("changeup"), 0.2, "offspeed", 0.3, columns),
    ]
    return model.ready(meet(thrown("changeup"), types, 2, traits, "right", 0.3))


def draws(ready: Readiness, throws: int = THROWS, seed: int = 4) -> tuple[Array, Array]:
    rng = np.random.default_rng(seed)
    others = ready.recognition.mean.shape[2]
    return rng.standard_normal((9, throws)), rng.standard_normal((MEMORY + 3 * others, throws))


def window(error: float, half_width: float, sd: float) -> float:
    return float(norm.cdf(half_width, error, sd) - norm.cdf(-half_width, error, sd))


def slow(ready: Readiness, j: int, z: Array, x: Array) -> list[float]:
    """One throw under the parameters of one column, from the definitions."""
    r, f = ready.recognition, ready.forecast
    t = {name: float(getattr(ready.encounter.traits, name)[j]) for name in TRAITS}
    cuts, others = r.mean.shape[1:]
    noise = (r.factor[j] @ x[MEMORY:]).reshape(cuts, others)
    odds = np.concatenate([np.zeros((cuts, 1)), r.mean[j] + r.slope[j] @ z + noise], axis=1)
    belief = [[1.0 / sum(exp(other - own) for other in row) for own in row] for row in odds]
    error, variance = [], []
    for quantity, cut in ((0, 0), (1, 1), (2, 1)):  # time by the first cut-off, height and side by the second
        if ready.weighted:
            parts = belief[cut]
        else:
            parts = [1.0 if h == int(np.argmax(odds[cut])) else 0.0 for h in range(others + 1)]
        off = [
            f.offset[j, h, quantity] + f.slope[j, h, quantity] @ z + f.memory[j, h, quantity] @ x[:MEMORY]
            for h in range(others + 1)
        ]
        error.append(float(np.dot(parts, off)))
        variance.append(float(np.dot(parts, f.sd[j, :, quantity] ** 2)))
    late, high = sqrt(variance[0] + t["motor_time"] ** 2), sqrt(variance[1] + t["motor_height"] ** 2)
    hit = {
        name: (1.0 - t["lapse"]) * window(error[0], when, late) * window(error[1], where, high)
        for name, when, where in (("contact", t["timing_window"], 0.070), ("clean", 0.010, 0.0105))
    }
    square = error[1] ** 2 + error[2] ** 2 + variance[1] + variance[2]
    return [hit["contact"], hit["clean"], belief[2][ready.encounter.thrown], *error, square]


@pytest.mark.parametrize("model", [observer, belief_weighted])
def test_every_row_against_the_second_implementation(model: HitterModel) -> None:
    """Two columns, 60 throws: to 1e-9, the rounding of sums of some 30 terms."""
    ready = readied(model)
    z, x = draws(ready)
    found = swing(ready, z, x)
    assert found.shape == (len(SWING), 2 * THROWS)
    expected = np.array([slow(ready, j, z[:, i], x[:, i]) for i in range(THROWS) for j in range(2)]).T
    np.testing.assert_allclose(found, expected, rtol=1e-9, atol=1e-12)
    # the case can tell: types are confused, and contact is neither sure nor hopeless
    assert 0.1 < (expected[BELIEF] < 0.95).mean() < 0.9
    assert 0.1 < expected[CONTACT].mean() < 0.95


def test_the_order_of_the_rows() -> None:
    assert SWING == ("contact", "clean", "belief_at_commit", "timing", "vertical", "side", "square")
    assert tuple(range(7)) == (CONTACT, CLEAN, BELIEF, TIMING, VERTICAL, SIDE, SQUARE)


def test_windows_of_contact() -> None:
    """Bat 2.61 in and ball 2.9 in across: Official Baseball Rules (memory). Clean: 10 ms, Tresilian (2004), read.

    Half the sweet spot's height, 10.5 mm: Kidokoro and Yanai (2017), abstract, read.
    """
    assert pytest.approx(TOUCH, abs=0.0005) == (2.61 + 2.9) / 2.0 * 0.0254
    assert (CLEAN_TIME, CLEAN_HEIGHT) == (0.010, 0.0105)


@pytest.mark.parametrize("error", [-0.2, -0.03, 0.0, 0.01, 0.07, 0.5])
@pytest.mark.parametrize("half_width", [0.0105, 0.07])
@pytest.mark.parametrize("sd", [1e-6, 0.01, 0.3])
def test_within_is_the_chance_of_a_normal_deviate(error: float, half_width: float, sd: float) -> None:
    expected = norm.cdf((half_width - error) / sd) - norm.cdf((-half_width - error) / sd)
    assert within(error, half_width, sd) == pytest.approx(expected, rel=1e-10, abs=1e-14)


def test_a_lapse_misses_whatever_was_seen() -> None:
    z, x = draws(readied(observer))
    sure, half, never = (
        swing(readied(observer, professional(lapse=lapse)), z, x)[[CONTACT, CLEAN]] for lapse in (0.0, 0.5, 1.0)
    )
    np.testing.assert_allclose(half, 0.5 * sure, rtol=1e-12)
    assert (never == 0.0).all()
    assert (sure[1] <= sure[0]).all()  # clean contact is contact


def test_columns_do_not_mix_and_throws_do_not_depend_on_each_other() -> None:
    both = readied(observer)
    z, x = draws(both)
    together = swing(both, z, x).reshape(len(SWING), THROWS, 2)
    for column in range(2):
        one = Traits(**{name: getattr(two_sets(), name)[[column]] for name in TRAITS})
        alone = swing(readied(observer, one), z, x)
        np.testing.assert_allclose(together[:, :, column], alone, rtol=1e-9, atol=1e-12)
    np.testing.assert_array_equal(swing(both, z[:, 7:9], x[:, 7:9]), together[:, 7:9].reshape(len(SWING), -1))


def test_cut_offs_count_back_from_the_arrival() -> None:
    ready = readied(observer)
    e = ready.encounter
    traits = replace(e.traits, timing_cutoff=np.array([0.2, 0.21]), height_cutoff=np.array([0.11, 0.12]))
    found = cut_offs(replace(e, traits=traits, commit_before_arrival=0.16))
    before = np.array([[0.2, 0.21], [0.11, 0.12], [0.16, 0.16]])
    np.testing.assert_allclose(found, e.arrival[:, 0] - before, rtol=1e-12)


def test_a_known_type_is_believed_and_needs_two_draws() -> None:
    types = [template(thrown("curve"), 1.0, "breaking", 0.5, 1)]
    ready = observer.ready(meet(thrown("curve"), types, 0, professional(), "right", 0.5))
    z, x = draws(ready)
    assert x.shape[0] == MEMORY
    found = swing(ready, z, x)
    assert (found[BELIEF] == 1.0).all()
    expected = np.array([slow(ready, 0, z[:, i], x[:, i]) for i in range(THROWS)]).T
    np.testing.assert_allclose(found, expected, rtol=1e-9, atol=1e-12)


def test_too_few_draws_are_refused() -> None:
    """They would be read past their end, as whatever stands in memory there."""
    ready = readied(observer)
    z, x = draws(ready)
    with pytest.raises(ValueError, match="noise"):
        swing(ready, z, x[MEMORY:])
