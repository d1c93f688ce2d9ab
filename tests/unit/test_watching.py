"""Throws watched with running sums, against the log odds and the gains of every cut-off."""

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.perception import watching
from latebreak.perception.calibration import professional
from latebreak.perception.encounter import Encounter
from latebreak.perception.forecast import gains
from latebreak.perception.kinds import Role
from latebreak.perception.recognition import evidence
from latebreak.perception.repertoire import meet, template, thrown
from latebreak.perception.view import HEIGHT_AT_PLATE, LOOK, SIDE_AT_PLATE
from latebreak.perception.watching import watch

Array = NDArray[np.float64]
PLACE = (HEIGHT_AT_PLATE, SIDE_AT_PLATE)
THROWS = watching._LANES + 5  # two passes, the second short


@pytest.fixture(scope="module")
def slider() -> Encounter:
    """Four types in two equal columns."""
    shares = {"fastball": 0.4, "curve": 0.2, "slider": 0.25, "changeup": 0.15}
    roles: dict[str, Role] = {
        "fastball": "fastball",
        "curve": "breaking",
        "slider": "breaking",
        "changeup": "offspeed",
    }
    types = [template(thrown(name), share, roles[name], 0.6, 2) for name, share in shares.items()]
    traits = professional().columns(np.zeros(2, np.int64))
    return meet(thrown("slider"), types, 2, traits, "right", 0.6)


def line_of(e: Encounter) -> Array:
    """A made-up fastball path, 4 m/s^2 less downwards."""
    line: Array = e.place + 2.0 * e.looks[:, None] ** 2 * np.array([0.0, 0.0, 1.0])
    return line


def test_every_cut_off_against_the_whole_matrices(slider: Encounter) -> None:
    """Belief to 1e-10, distance of the forecasts to 1e-12 m: rounding of sums over some 80 numbers."""
    e, generator = slider, np.random.default_rng(3)
    times = np.array([0.005, 0.083, 0.09, 0.101, 0.1499, 0.15, 0.21])  # s; the first sees nothing, some end in a look
    cuts = np.repeat(times[:, None], 2, axis=1)
    normals, noise = generator.standard_normal((9, THROWS)), generator.standard_normal((3 * 22, 2, THROWS))
    belief, apart = watch(e, line_of(e), cuts, normals, noise)
    assert belief.shape == apart.shape == (times.size, THROWS, 2)
    full = np.zeros((e.variance.shape[1], 2, THROWS))
    full[: len(noise)] = noise  # what begins after the last cut-off is not seen
    fastball, what = e.seen(line_of(e))[0], evidence(e, cuts)
    flown, sd = e.scatter[0] @ normals, np.sqrt(e.variance[0])[:, None]
    believed = flown + full[:, 0] * sd / np.sqrt(e.traits.evidence_efficiency[0])
    watched = flown + full[:, 1] * sd
    confused = 0
    for c in range(times.size):
        gain = gains(e, cuts[c], PLACE)[0][0]
        ways = []
        for change in (0.0, fastball[:, None]):
            others = what.mean[0, c][:, None] + what.rows[0, c] @ (believed + change)
            odds = np.concatenate([np.zeros((1, THROWS)), others])
            planned = odds.argmax(axis=0)
            seen = watched + change - e.mu[0][planned].T
            ways.append(e.expected[0][planned][:, list(PLACE)] + np.einsum("nqk,kn->nq", gain[planned], seen))
            if len(ways) == 1:
                first, share = planned, np.exp(odds - odds.max(axis=0))
        confused += int((first != planned).sum())
        np.testing.assert_allclose(belief[c, :, 0], share[e.thrown] / share.sum(axis=0), atol=1e-10)
        np.testing.assert_allclose(apart[c, :, 0], np.linalg.norm(ways[0] - ways[1], axis=1), atol=1e-12)
    assert 20 < confused < times.size * THROWS - 20  # so that both kinds of distance are tried
    np.testing.assert_array_equal(belief[..., 0], belief[..., 1])
    np.testing.assert_array_equal(apart[..., 0], apart[..., 1])


@pytest.mark.slow
def test_columns_of_several_calls_are_those_of_one(slider: Encounter, monkeypatch: pytest.MonkeyPatch) -> None:
    generator = np.random.default_rng(4)
    normals, noise = generator.standard_normal((9, 10)), generator.standard_normal((3 * 20, 2, 10))
    cuts = np.repeat(LOOK * np.arange(8, 20)[:, None], 2, axis=1)
    together = watch(slider, line_of(slider), cuts, normals, noise)
    monkeypatch.setattr(watching, "_THROWS", 10)  # a column a call
    for one, other in zip(together, watch(slider, line_of(slider), cuts, normals, noise), strict=True):
        np.testing.assert_array_equal(one, other)
