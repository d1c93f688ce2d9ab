"""Log odds of the types against Bayes' rule with dense multivariate normal distributions."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import multivariate_normal

from latebreak.perception.calibration import professional
from latebreak.perception.encounter import Encounter
from latebreak.perception.recognition import evidence, recognise
from latebreak.perception.repertoire import meet, template, thrown

Array = NDArray[np.float64]
#: Cut-offs at the edges of looks, s after release, so that every look counts wholly or not at all.
CUTS = np.array([[0.15], [0.22], [0.31]])


def encounter(familiarity: float = 0.5, **traits: float) -> Encounter:
    types = [
        template(thrown("fastball"), 0.6, "fastball", familiarity, 1),
        template(thrown("curve"), 0.25, "breaking", familiarity, 1),
        template(thrown("changeup"), 0.15, "offspeed", familiarity, 1),
    ]
    return meet(thrown("curve"), types, 1, professional(**traits), "right", familiarity)


@pytest.fixture(scope="module")
def common() -> Encounter:
    """The three types with one J: there the filter of differences is Bayes' rule itself."""
    e = encounter()
    return replace(e, jacobian=np.broadcast_to(e.jacobian.mean(axis=1, keepdims=True), e.jacobian.shape))


def draws(e: Encounter, count: int) -> Array:
    """Looks (count, 3K), of the order of what is seen."""
    rng = np.random.default_rng(3)
    normals = rng.standard_normal((count, e.variance.shape[1]))
    looks: Array = (
        e.mu[0, 0] + 3.0 * np.sqrt(e.variance[0]) * normals + rng.standard_normal((count, 9)) @ e.scatter[0].T
    )
    return looks


@pytest.mark.parametrize("efficiency", [0.03, 0.3, 1.0])
def test_log_odds_are_those_of_bayes_rule(common: Encounter, efficiency: float) -> None:
    """ln share + ln N(y; mu_h, J C0 J' + R/F), less the same of the first type, for whole looks and a common J.

    To 1e-6 of odds of up to hundreds: the dense covariance is nearly singular.
    """
    e = replace(common, traits=common.traits.with_(evidence_efficiency=efficiency))
    found = evidence(e, CUTS)
    seen = draws(e, 20)
    for c, (cut,) in enumerate(CUTS):
        in_view = np.repeat((e.looks > e.traits.view_start[0]) & (e.looks < cut), 3)
        j = e.jacobian[0, 0][in_view]
        covariance = j @ e.prior[0] @ j.T + np.diag(e.variance[0, in_view] / efficiency)
        each = [
            np.log(e.shares[h]) + multivariate_normal(e.mu[0, h, in_view], covariance).logpdf(seen[:, in_view])
            for h in range(3)
        ]
        odds = found.mean[0, c] + seen @ found.rows[0, c].T
        expected = np.stack([each[1] - each[0], each[2] - each[0]], axis=1)
        assert np.abs(expected).max() > 1.0
        np.testing.assert_allclose(odds, expected, rtol=1e-6, atol=1e-6)


def test_with_jacobians_of_their_own_the_mean_one_stands_in(common: Encounter) -> None:
    own = evidence(encounter(), CUTS)
    np.testing.assert_allclose(own.rows, evidence(common, CUTS).rows, rtol=1e-9, atol=1e-12)


def test_mean_and_slope_are_those_of_what_is_seen(common: Encounter) -> None:
    """L of a throw without noise is mean + slope z."""
    found, raw = recognise(common, CUTS), evidence(common, CUTS)
    z = np.random.default_rng(1).standard_normal(9)
    for c in range(3):
        direct = raw.mean[0, c] + raw.rows[0, c] @ (common.scatter[0] @ z)
        np.testing.assert_allclose(found.mean[0, c] + found.slope[0, c] @ z, direct, rtol=1e-9)


def test_noise_is_internal_noise(common: Encounter) -> None:
    """factor factor' = Q (R/F) Q' with the rows a_h of all cut-offs; whole looks are common to later ones."""
    found, raw = recognise(common, CUTS), evidence(common, CUTS)
    q = raw.rows[0].reshape(6, -1)
    expected = q @ np.diag(common.variance[0] / common.traits.evidence_efficiency[0]) @ q.T
    np.testing.assert_allclose(found.factor[0] @ found.factor[0].T, expected, rtol=1e-6, atol=1e-9 * np.trace(expected))
    assert (np.triu(found.factor[0], 1) == 0.0).all()


def test_with_nothing_seen_belief_is_the_share(common: Encounter) -> None:
    found = recognise(common, np.array([[0.0], [0.04]]))
    expected = np.log(np.array([0.25, 0.15]) / 0.6)
    np.testing.assert_allclose(found.mean[0], np.stack([expected, expected]), rtol=1e-12)
    assert np.abs(found.slope).max() == 0.0
    assert np.abs(found.factor).max() < 1e-12


def test_a_known_type_leaves_nothing_to_tell() -> None:
    types = [template(thrown("curve"), 1.0, "breaking", 0.5, 1)]
    found = recognise(meet(thrown("curve"), types, 0, professional(), "right", 0.5), CUTS)
    assert found.mean.shape == (1, 3, 0)
    assert found.slope.shape == (1, 3, 0, 9)
    assert found.factor.shape == (1, 0, 0)


def test_types_alike_and_types_never_thrown_stay_finite() -> None:
    """Twice the fastball, and a share of 0 (of the first type too): singular covariances, infinite odds avoided."""
    fastball = template(thrown("fastball"), 0.5, "fastball", 0.5, 1)
    never = replace(template(thrown("curve"), 0.5, "breaking", 0.5, 1), share=0.0)
    for types in ([fastball, fastball, never], [replace(fastball, share=0.0), never, fastball]):
        found = recognise(meet(thrown("fastball"), types, 0, professional(), "right", 0.5), CUTS)
        for array in (found.mean, found.slope, found.factor):
            assert np.isfinite(array).all()
