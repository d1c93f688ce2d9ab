"""Moments of a throw: on constructed cases, and against a slow second implementation."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.perception import events
from latebreak.perception.calibration import professional
from latebreak.perception.encounter import Encounter
from latebreak.perception.events import RECOGNISED, Moments, moments
from latebreak.perception.forecast import gains
from latebreak.perception.hitter import TRAITS, Traits
from latebreak.perception.recognition import evidence
from latebreak.perception.repertoire import meet, template, thrown
from latebreak.perception.view import HEIGHT_AT_PLATE, LOOK, SIDE_AT_PLATE

Array = NDArray[np.float64]
RADIUS = 0.037  # m, of the ball
CUTS = np.array([0.1, 0.2, 0.3, 0.4])[:, None, None]


def encounter(familiarity: float = 0.6, traits: Traits | None = None) -> Encounter:
    """A curve before a hitter who has three types in mind."""
    traits = professional() if traits is None else traits
    columns = traits.lapse.size
    types = [
        template(thrown("fastball"), 0.6, "fastball", familiarity, columns),
        template(thrown("curve"), 0.25, "breaking", familiarity, columns),
        template(thrown("changeup"), 0.15, "offspeed", familiarity, columns),
    ]
    return meet(thrown("curve"), types, 1, traits, "right", familiarity)


def beside(traits: list[Traits]) -> Traits:
    return Traits(**{name: np.concatenate([getattr(t, name) for t in traits]) for name in TRAITS})


def fastball_line(e: Encounter) -> Array:
    """A made-up fastball path: the curve's without its drop, (m, K, 3)."""
    rise = 2.5 * e.looks**2  # m: 5 m/s^2 less downwards
    line: Array = e.place + rise[:, None] * np.array([0.0, 0.0, 1.0])
    return line


def noise_of(seed: int, throws: int) -> Callable[[int], Array]:
    return lambda looks: np.random.default_rng(seed).standard_normal((3 * looks, 2, throws))


def found(e: Encounter, throws: int = 8, seed: int = 2, **more: float) -> tuple[Moments, Moments]:
    normals = np.random.default_rng(1).standard_normal((9, throws))
    return moments(e, fastball_line(e), RADIUS, normals, noise_of(seed, throws), **more)


def test_belief_must_stay_above_the_threshold() -> None:
    """First crossings are early noise: 0.9 at first and 0.5 later is not recognised before it comes back for good."""
    throws = [[0.9, 0.5, 0.7, 0.8], [0.9] * 4, [0.1, 0.2, 0.3, 0.4], [0.8, 0.7, 0.74, 0.7], [0.55, 0.65, 0.75, 0.85]]
    result = events._held(np.array(throws).T[..., None], CUTS)
    np.testing.assert_array_equal(result.reached[:, 0], [True, True, False, False, True])
    assert result.time[0, 0] == pytest.approx(0.3 + 0.1 * (RECOGNISED - 0.7) / 0.1, abs=1e-9)
    assert result.time[1, 0] == pytest.approx(0.1)  # believed from the start
    assert result.time[4, 0] == pytest.approx(0.3, abs=1e-9)  # exactly 75 % is enough


def test_the_break_appears_when_the_distance_is_first_exceeded() -> None:
    """Unlike belief it need not last; a distance that only reaches the radius does not count."""
    apart = np.array([[0.0, 0.05, 0.0, 0.0], [0.02, 0.0, 0.037, 0.05], [0.04, 0.0, 0.03, 0.0], [0.06, 0.0, 0.0, 0.0]])
    result = events._first(apart[..., None], CUTS, RADIUS)
    np.testing.assert_array_equal(result.reached[:, 0], [True, True, False, True])
    expected = [0.2 + 0.1 * (0.037 - 0.02) / 0.02, 0.1, 0.1 + 0.1 * 0.037 / 0.05]
    np.testing.assert_allclose(result.time[[0, 1, 3], 0], expected, rtol=1e-9)


@pytest.mark.parametrize(("share", "reached"), [(0.8, True), (0.76, True), (0.7, False), (0.2, False)])
def test_what_looks_the_same_is_recognised_by_its_share_alone(share: float, reached: bool) -> None:
    """Two names of one pitch: belief is the share from the start to the end."""
    types = [
        template(thrown("fastball"), 1.0 - share, "fastball", 1.0, 1),
        template(thrown("fastball"), share, "fastball", 1.0, 1),
    ]
    e = meet(thrown("fastball"), types, 1, professional(), "right", 1.0)
    recognition, onset = moments(e, e.place, RADIUS, np.zeros((9, 5)), noise_of(0, 5))
    assert (recognition.reached == reached).all()
    if reached:
        assert recognition.time.max() <= e.traits.view_start[0] + LOOK + 1e-12
    assert not onset.reached.any()  # and nothing breaks away from itself


def test_a_known_type_is_recognised_at_once() -> None:
    types = [template(thrown("curve"), 1.0, "breaking", 0.5, 1)]
    e = meet(thrown("curve"), types, 0, professional(), "right", 0.5)
    recognition, onset = found(e)
    assert recognition.reached.all()
    assert recognition.time.max() <= e.traits.view_start[0] + LOOK + 1e-12
    assert onset.reached.all()


def slow(e: Encounter, throws: int, seed: int, spacing: float) -> tuple[list[float | None], list[float | None]]:
    """Throw by throw and cut-off by cut-off; None where it never happens."""
    normals = np.random.default_rng(1).standard_normal((9, throws))
    noise = np.random.default_rng(seed).standard_normal((e.variance.shape[1], 2, throws)).transpose(1, 2, 0)
    first, last = float(e.traits.view_start[0]), float(e.arrival[0, 0] - e.traits.height_cutoff[0])
    count = int(np.ceil((last - first) / spacing))
    times = [min(first + spacing * i, last) for i in range(1, count + 1)]
    fastball = e.seen(fastball_line(e))[0]
    recognised: list[float | None] = []
    broken: list[float | None] = []
    for i in range(throws):
        flown = e.scatter[0] @ normals[:, i]
        believed = flown + noise[0, i] * np.sqrt(e.variance[0] / e.traits.evidence_efficiency[0])
        watched = flown + noise[1, i] * np.sqrt(e.variance[0])
        beliefs, distances = [], []
        for time in times:
            cut = np.array([time])
            what = evidence(e, cut[:, None])
            gain = gains(e, cut, (HEIGHT_AT_PLATE, SIDE_AT_PLATE))[0][0]
            planned: list[Array] = []
            for change in (0.0, fastball):
                odds = np.concatenate([[0.0], what.mean[0, 0] + what.rows[0, 0] @ (believed + change)])
                if len(planned) == 0:
                    beliefs.append(1.0 / np.exp(odds - odds[e.thrown]).sum())
                h = int(odds.argmax())
                planned.append(e.expected[0, h, 1:] + gain[h] @ (watched + change - e.mu[0, h]))
            distances.append(float(np.linalg.norm(planned[0] - planned[1])))
        for values, threshold, start, results in (
            (beliefs, RECOGNISED, last_low(beliefs) + 1, recognised),
            (distances, RADIUS, next((k for k, d in enumerate(distances) if d > RADIUS), count), broken),
        ):
            if start == count:
                results.append(None)
            elif start == 0:
                results.append(times[0])
            else:
                before, after = values[start - 1], values[start]
                results.append(times[start - 1] + (threshold - before) / (after - before) * (times[1] - times[0]))
    return recognised, broken


def last_low(beliefs: list[float]) -> int:
    """Number of the last cut-off at which belief is below the threshold; -1 if none."""
    return max((k for k, belief in enumerate(beliefs) if belief < RECOGNISED), default=-1)


@pytest.mark.parametrize("spacing", [LOOK, 0.027])
def test_against_the_second_implementation(spacing: float) -> None:
    """Eight throws, to 1e-9 s."""
    e = encounter()
    fast = found(e, spacing=spacing)
    for result, expected in zip(fast, slow(e, 8, 2, spacing), strict=True):
        np.testing.assert_array_equal(result.reached[:, 0], [time is not None for time in expected])
        for time, other in zip(result.time[:, 0], expected, strict=True):
            if other is not None:
                assert time == pytest.approx(other, abs=1e-9)
    assert len(np.unique(fast[0].time)) > 4  # throws do differ


def test_the_same_generator_gives_the_same_moments() -> None:
    e = encounter()
    first, again, other = (found(e, seed=seed)[0].time for seed in (2, 2, 3))
    np.testing.assert_array_equal(first, again)
    assert not np.array_equal(first, other)


@pytest.mark.parametrize("change", [{"position_noise": 2e-4}, {"evidence_efficiency": 0.5}, {"view_start": 0.12}])
def test_columns_do_not_mix(change: dict[str, float]) -> None:
    """Two sets of traits at once and one by one, with the same noise: to 1e-9 s."""
    sets = [professional(), professional(**change)]
    together = found(encounter(traits=beside(sets)))
    for column, traits in enumerate(sets):
        alone = found(encounter(traits=traits))
        for both, one in zip(together, alone, strict=True):
            np.testing.assert_array_equal(both.reached[:, column], one.reached[:, 0])
            np.testing.assert_allclose(both.time[:, column], one.time[:, 0], atol=1e-9)


def test_a_keen_eye_tells_at_once() -> None:
    """Without noise and with all the evidence, every throw near the mean is told by the second cut-off."""
    e = encounter(familiarity=1.0, traits=professional(evidence_efficiency=1.0, position_noise=1e-9, size_noise=1e-6))
    recognition, _ = moments(e, fastball_line(e), RADIUS, np.zeros((9, 4)), noise_of(0, 4))
    assert recognition.reached.all()
    assert recognition.time.max() < e.traits.view_start[0] + 2.5 * LOOK


def test_the_ball_that_leaves_the_line_further_breaks_sooner() -> None:
    """Twice the difference from the fastball: no throw's break appears later when type and noise are the same."""
    types = [template(thrown("curve"), 1.0, "breaking", 0.5, 1)]
    e = meet(thrown("curve"), types, 0, professional(), "right", 0.5)
    once, twice = fastball_line(e), 2.0 * fastball_line(e) - e.place
    normals = np.random.default_rng(1).standard_normal((9, 20))
    near, far = (moments(e, line, RADIUS, normals, noise_of(2, 20))[1] for line in (once, twice))
    assert near.reached.all()
    assert (far.time < near.time).all()
