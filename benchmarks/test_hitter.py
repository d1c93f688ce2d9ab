"""Swings per second, as a ratio to a plain look-by-look simulation in numpy in the same run."""

from __future__ import annotations

import numpy as np
import pytest

from latebreak.engine.bundle import prepare
from latebreak.engine.draws import Draws
from latebreak.engine.pitch import Pitch, Spread, Target
from latebreak.engine.units import DEGREE, FOOT, MPH, RPM
from latebreak.perception.eye import Eye
from latebreak.perception.forecast import gains
from latebreak.perception.hitter import preset
from latebreak.perception.model import observer
from latebreak.perception.recognition import evidence
from latebreak.perception.swing import COMMIT_CUT, CONTACT, HEIGHT_CUT, MEMORY, TIMING_CUT, TOUCH, Readiness, cut_offs
from latebreak.perception.templates import remember
from latebreak.service.questions import compare

TYPES = (("fastball", 92, 2300, 20, 0.3), ("breaking", 79, 2550, 200, 0.8), ("offspeed", 84, 1800, 48, 0.4))
THROWS = 4096


@pytest.fixture(scope="module")
def ready(conditions, bundle) -> Readiness:
    """A curve among three types."""
    spread = Spread(bundle.pitch.spread.standard_deviations, np.eye(9))
    bundles = [
        prepare(
            Pitch(
                mph * MPH, rpm * RPM, clock * DEGREE, gyro, -1.8 * FOOT, 5.9 * FOOT, 6 * FOOT,
                Target(0.0, 2.3 * FOOT), spread=spread,
            ),
            conditions,
        )
        for _, mph, rpm, clock, gyro in TYPES
    ]  # fmt: skip
    hitter = preset("professional", Eye(), 0.150)
    types = [
        remember(role, share, one.mean, one.flight, conditions, "professional", role, "right", 0.5)
        for (role, *_), share, one in zip(TYPES, (0.6, 0.2, 0.2), bundles, strict=True)
    ]
    curve = bundles[1]
    return observer.ready(observer.meet(curve.mean, curve.flight, curve.factor, types, 1, hitter, hitter.traits))


def look_by_look(ready: Readiness, normals, generator) -> float:
    """Contact share: every look of every throw drawn, every filter applied to it, motor noise and memory drawn too."""
    e, traits = ready.encounter, ready.encounter.traits
    cuts = cut_offs(e)
    found = evidence(e, cuts)
    n = normals.shape[1]
    flown = (e.scatter[0] @ normals).T
    sd = np.sqrt(e.variance[0])
    internal = flown + generator.standard_normal(flown.shape) * sd / np.sqrt(traits.evidence_efficiency[0])
    seen = flown + generator.standard_normal(flown.shape) * sd
    odds = np.einsum("nk,chk->nch", internal, found.rows[0]) + found.mean[0]
    odds = np.concatenate([np.zeros((n, 3, 1)), odds], axis=2)
    actual = e.arrival[0] + (e.arrival_scatter[0] @ normals).T
    hits = np.ones(n, dtype=bool)
    draws = generator.standard_normal((n, 2))  # what is wrong with the memory
    for quantity, cut, window, motor in (
        (0, TIMING_CUT, traits.timing_window[0], traits.motor_time[0]),
        (1, HEIGHT_CUT, TOUCH, traits.motor_height[0]),
    ):
        gain, _ = gains(e, cuts[cut], (quantity,))
        planned = odds[:, cut].argmax(axis=1)
        forgotten = e.expected_movement[0, :, quantity] - np.einsum("hk,hkp->hp", gain[0, :, 0], e.movement[0])
        memory = draws * e.memory[0, planned]
        forecast = e.expected[0, planned, quantity] + np.einsum(
            "nk,nk->n", gain[0, planned, 0], seen - e.mu[0, planned]
        )
        error = actual[:, quantity] - forecast + (forgotten[planned] * memory).sum(axis=1)
        hits &= np.abs(error + motor * generator.standard_normal(n)) < window
    assert np.isfinite(odds[:, COMMIT_CUT]).all()
    return float(hits.mean() * (1.0 - traits.lapse[0]))


def test_swings_against_look_by_look(benchmark, ready, seconds):
    normals = Draws(1, 8 * THROWS).normals(0)
    generator = np.random.default_rng(1)
    noise = generator.standard_normal((MEMORY + 6, THROWS))
    ours = seconds(lambda: observer.swing(ready, normals, noise), 50)
    theirs = seconds(lambda: look_by_look(ready, normals, generator), 3)
    contact = observer.swing(ready, normals, noise)[CONTACT].mean()
    # both are the same model: 0.02 is three standard errors of 4,096 throws counted one by one
    assert contact == pytest.approx(look_by_look(ready, normals, generator), abs=0.02)
    benchmark.extra_info |= {"throws_per_s": THROWS / ours, "times_look_by_look": theirs / ours}
    benchmark(observer.swing, ready, normals, noise)
    assert theirs / ours > 10.0


def test_compare(benchmark, seconds):
    whole = seconds(lambda: compare("two-grips"), 5)
    quick = seconds(lambda: compare("two-grips", intervals=False), 5)
    benchmark.extra_info |= {"with_intervals_s": whole, "without_s": quick}
    benchmark(compare, "two-grips")
    assert whole / quick < 20.0  # 64 draws side by side cost far less than 64 questions
