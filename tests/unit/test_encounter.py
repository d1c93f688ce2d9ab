"""A thrown pitch before a hitter: everything linear about the mean path, against flights and exact angles."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.kernel import AT_TIME, AT_X, AT_Z
from latebreak.perception.encounter import Encounter, meet
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import TRAITS, Hitter, Traits, preset
from latebreak.perception.repertoire import template, thrown
from latebreak.perception.view import HEIGHT_AT_PLATE, LOOK, SIDE_AT_PLATE

Array = NDArray[np.float64]
NAMES = ("fastball", "curve", "changeup")
HITTER = preset("professional", Eye(bats="left"), 0.15, 0.4)


def encounter(name: str = "curve", hitter: Hitter = HITTER) -> Encounter:
    """The thrown pitch before a hitter with three types in mind, as many columns as he has sets of traits."""
    columns = hitter.traits.lapse.size
    bundle = thrown(name)
    roles = ("fastball", "breaking", "offspeed")
    types = [
        template(thrown(n), share, role, hitter.familiarity, columns)
        for n, share, role in zip(NAMES, (0.6, 0.25, 0.15), roles, strict=True)
    ]
    mean = template(bundle, 1.0, "fastball", 1.0, columns).mean
    mean = replace(mean, levers=np.repeat(bundle.mean.levers, columns, axis=1))
    return meet(mean, bundle.flight, bundle.factor, types, NAMES.index(name), hitter, hitter.traits)


@pytest.fixture(scope="module")
def curve() -> Encounter:
    return encounter()


def in_the_eye(places: Array) -> Array:
    """Azimuth, elevation and log size, exactly."""
    x, y, z = np.moveaxis(places - HITTER.eye.place, -1, 0)
    return np.stack([np.arctan2(x, y), np.arctan2(z, np.hypot(x, y)), -0.5 * np.log(x**2 + y**2 + z**2)], axis=-1)


def test_a_path_is_seen_as_it_is(curve: Encounter) -> None:
    """A ball displaced by up to 2 mm: the exact angles (that to the right along the horizon) to a hundredth."""
    moved = curve.place + np.array([0.002, -0.001, 0.0015])
    change = in_the_eye(moved) - in_the_eye(curve.place)
    change[..., 0] *= np.cos(in_the_eye(curve.place)[..., 1])
    before = slice(0, 3 * 40)  # 0.4 s; later it is beside the eye
    np.testing.assert_allclose(curve.seen(moved)[0, before], change.reshape(-1)[before], rtol=0.01, atol=1e-6)
    assert (curve.seen(curve.place) == 0.0).all()


@pytest.mark.parametrize("lever", range(9))
def test_scatter_is_what_a_throw_changes(curve: Encounter, lever: int) -> None:
    """Throws a hundredth of an SD to either side, flown: to 0.5 % of the largest change."""
    bundle = thrown("curve")
    normals = np.zeros((9, 2))
    normals[lever] = 0.01, -0.01
    paths = bundle.flight.paths(bundle.releases(normals), 32)
    places = np.moveaxis(paths.at(np.repeat(curve.looks[:, None], 2, axis=1))[:, :3], 2, 0)
    flying = np.repeat(curve.looks < curve.arrival[0, 0] - 0.01, 3)
    seen = (curve.seen(places[[0]]) - curve.seen(places[[1]]))[0] / 0.02
    expected = np.where(flying, seen, 0.0)
    found = np.where(flying, curve.scatter[0, :, lever], 0.0)
    np.testing.assert_allclose(found, expected, atol=5e-3 * np.abs(expected).max())
    arrivals = paths.arrivals[[AT_TIME, AT_Z, AT_X]]
    change = (arrivals[:, 0] - arrivals[:, 1]) / 0.02
    np.testing.assert_allclose(curve.arrival_scatter[0, :, lever], change, atol=5e-3 * np.abs(change).max())


def test_mu_is_where_the_types_fly(curve: Encounter) -> None:
    """Fast types go on past the plate, so they stay in sight of the linear eye: nothing blows up."""
    for h, name in enumerate(NAMES):
        bundle = thrown(name)
        one = template(bundle, 1.0, ("fastball", "breaking", "offspeed")[h], 0.4, 1)
        paths = one.flight.paths(one.mean.releases(), 8)
        states = np.moveaxis(paths.at(curve.looks[:, None]), 2, 0)
        over = np.maximum(curve.looks - paths.arrivals[AT_TIME, 0], 0.0)[None, :, None]
        np.testing.assert_allclose(curve.mu[0, h], curve.seen(states[..., :3] + over * states[..., 3:])[0], atol=1e-4)
    assert np.abs(curve.mu).max() < 10.0


def test_a_well_known_pitch_is_where_it_is_thrown() -> None:
    known = encounter(hitter=replace(HITTER, familiarity=1.0))
    early = slice(0, 3 * 40)
    assert np.abs(known.mu[0, 1, early]).max() < 1e-4  # rad: 0.3 arcmin; paths differ by less than 0.1 mm
    assert np.abs(known.memory).max() == 0.0


def test_the_expected_scatter() -> None:
    """C0 by hand at f = 0.4: speed 1.2 % from throw to throw and 5 % (1 - f) misremembered, of the mean speed."""
    e = encounter()
    t = HITTER.traits
    speed = sum(s * thrown(n).mean.levers[0, 0] for s, n in zip((0.6, 0.25, 0.15), NAMES, strict=True))
    sds = [speed * np.hypot(0.012, 0.6 * t.speed_error[0]), *[t.release_point_error[0]] * 2]
    sds += [t.azimuth_error[0], t.elevation_error[0]]
    np.testing.assert_allclose(e.prior[0], np.diag(np.square(sds)), rtol=1e-9)


def test_memory_errs_by_a_share_of_the_usual_movement(curve: Encounter) -> None:
    """In inches at the plate: tau0 (1 - f) of the usual movement, across and along it, whatever this pitch does."""
    tau = float(HITTER.traits.movement_error[0]) * 0.6
    plate = [HEIGHT_AT_PLATE, SIDE_AT_PLATE]
    for h, name in enumerate(NAMES):
        one = template(thrown(name), 1.0, ("fastball", "breaking", "offspeed")[h], 0.4, 1)
        along, across = np.linalg.norm(curve.expected_movement[0, h, plate] * curve.memory[0, h], axis=0)
        assert along == pytest.approx(tau * one.usual_movement[0], rel=1e-6)
        # turning the spin's push turns the movement; a little of it is lost or won on the way
        assert across == pytest.approx(tau * one.usual_movement[0], rel=0.1)


def test_noise_grows_where_gaze_lags(curve: Encounter) -> None:
    """R look by look: n^2/dt (1 + ecc/E2)^2, with the speed of the line of sight from exact directions."""
    t = {name: float(getattr(HITTER.traits, name)[0]) for name in TRAITS}
    away = 0.0
    for k in range(curve.looks.size - 3):
        r = curve.place[0, k] - HITTER.eye.place
        v = curve.velocity[0, k]
        ahead, behind = r + 1e-5 * v, r - 1e-5 * v
        angle = np.linalg.norm(ahead / np.linalg.norm(ahead) - behind / np.linalg.norm(behind))
        away += max(0.0, float(angle) / 2e-5 - t["pursuit_limit"]) * 0.010
        growth = (1.0 + away / t["eccentricity_scale"]) ** 2
        expected = np.array([t["position_noise"], t["position_noise"], t["size_noise"]]) ** 2 / 0.010 * growth
        np.testing.assert_allclose(curve.variance[0, 3 * k : 3 * k + 3], expected, rtol=1e-5)
    assert away > t["eccentricity_scale"]  # gaze does lag at the end


def test_weights_by_hand(curve: Encounter) -> None:
    """View from 50 ms; a cut-off at 83 ms: looks from 50, 60, 70 whole, and 3 ms of that from 80."""
    weights = curve.weights(np.array([0.083]))[0].reshape(-1, 3)
    assert (weights == weights[:, :1]).all()
    np.testing.assert_allclose(weights[4:10, 0], [0.0, 1.0, 1.0, 1.0, 0.3, 0.0], atol=1e-12)


@pytest.mark.parametrize("cut", [0.0801, 0.2, 0.2534, 0.33])
@pytest.mark.parametrize("start", [0.02, 0.0537, 0.0701])
def test_weights_cover_exactly_the_time_of_the_view(curve: Encounter, cut: float, start: float) -> None:
    """So answers are continuous in both: the looks that count make up cut-off less start."""
    e = replace(curve, traits=HITTER.traits.with_(view_start=start))
    weights = e.weights(np.array([cut]))
    assert weights[0, ::3].sum() * LOOK == pytest.approx(cut - start, abs=1e-12)
    assert ((weights >= 0.0) & (weights <= 1.0)).all()


def test_a_cut_off_before_the_view_leaves_nothing(curve: Encounter) -> None:
    assert (curve.weights(np.array([0.03])) == 0.0).all()


def test_columns_do_not_mix() -> None:
    """Three sets of traits at once and one by one, to 1e-12 of the largest of each array."""
    sets = [
        HITTER.traits,
        HITTER.traits.with_(speed_error=0.1, pursuit_limit=1.0),
        HITTER.traits.with_(size_noise=0.02),
    ]
    three = Traits(**{name: np.concatenate([getattr(t, name) for t in sets]) for name in TRAITS})
    together = encounter(hitter=replace(HITTER, traits=three))
    for column, traits in enumerate(sets):
        alone = encounter(hitter=replace(HITTER, traits=traits))
        for name, value in vars(alone).items():
            if name in {"looks", "names", "shares", "traits", "thrown", "commit_before_arrival"}:
                continue
            scale = max(np.abs(value).max(), 1e-30)
            np.testing.assert_allclose(getattr(together, name)[column] / scale, value[0] / scale, atol=1e-12)
