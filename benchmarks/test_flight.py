"""Flights per second, as ratios to anchors measured in the same run at matched error."""

from __future__ import annotations

import numpy as np
from anchors import numpy_arrivals, scipy_arrival

from latebreak.engine.bundle.arrival import arrive
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.units import INCH

#: in; what "matched error" means: the promise of the engine.
PROMISE = 0.005 * INCH


def errors(arrivals, releases, flight):
    """Largest error (m) at the plate against a tight solution."""
    exact = np.array([scipy_arrival(release, flight, "DOP853", 1e-12) for release in releases.T[:20]]).T
    return np.abs(np.stack([arrivals[0, :20] - exact[0], arrivals[1, :20] - exact[2]])).max()


def test_kernel_against_numpy(benchmark, bundle, releases, seconds):
    flight = bundle.flight
    ours = seconds(lambda: flight.arrivals(releases), 300)
    theirs = seconds(lambda: numpy_arrivals(releases, flight, flight.steps), 20)
    assert errors(flight.arrivals(releases), releases, flight) < PROMISE
    assert errors(numpy_arrivals(releases, flight, flight.steps), releases, flight) < PROMISE
    benchmark.extra_info |= {
        "steps": flight.steps,
        "flights_per_s": releases.shape[1] / ours,
        "times_numpy": theirs / ours,
    }
    benchmark(flight.arrivals, releases)
    # The goal is 15, set on a processor with vectors of eight doubles; 12 to 14.5 was seen with vectors of four.
    assert theirs / ours > 10.0


def test_kernel_against_scipy(benchmark, bundle, releases, seconds):
    flight, few = bundle.flight, releases[:, :20]
    ours = seconds(lambda: flight.arrivals(releases), 300) / releases.shape[1]
    theirs = seconds(lambda: [scipy_arrival(r, flight, "RK45", 1e-5) for r in few.T], 3) / few.shape[1]
    by_scipy = np.array([scipy_arrival(r, flight, "RK45", 1e-5) for r in few.T]).T[[0, 2]]
    assert errors(by_scipy, releases, flight) < PROMISE
    benchmark.extra_info |= {"times_scipy": theirs / ours}
    benchmark(flight.arrivals, releases)
    assert theirs / ours > 20_000.0  # the goal


def test_draw_fly_and_summarise(benchmark, bundle, releases, seconds):
    draws = Draws(1, 200_000)
    kernel = seconds(lambda: bundle.flight.arrivals(releases), 300) / releases.shape[1]
    whole = seconds(lambda: arrive(bundle, draws), 5) / draws.throws
    benchmark.extra_info |= {"throws_per_s": 1.0 / whole, "times_bare_flight": whole / kernel}
    benchmark(arrive, bundle, draws)
    # two flights a throw (with and without spin), thirteen normals, ten quantities with quantiles
    assert whole / kernel < 12.0


def test_two_threads(benchmark, bundle, seconds):
    draws = Draws(1, 1_000_000)
    one = seconds(lambda: arrive(bundle, draws, 1), 3)
    two = seconds(lambda: arrive(bundle, draws, 2), 3)
    benchmark.extra_info |= {"times_one_thread": one / two}
    benchmark.pedantic(arrive, (bundle, draws, 2), rounds=1)
    assert one / two > 1.5  # goal 1.8; a shared machine seldom leaves both cores free
