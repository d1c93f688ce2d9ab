"""Throws judged per second, as a ratio to the same equations in plain numpy in the same run."""

from __future__ import annotations

import equations
import numpy as np
import pytest
from batting import CURVE, MIX, PROFESSIONAL, columns, in_mind, noise_of

from latebreak.perception.model import Situation, one_glance
from latebreak.perception.moments import moments
from latebreak.perception.parameters import uncertain
from latebreak.service.questions import compare

THREE = {name: MIX[name] for name in ("fastball", "slider", "curve")}
#: One hitter and many throws; many hitters and as few throws as an interval takes.
SIZES = [(1, 4096), (257, 128)]


@pytest.mark.parametrize(("hitters", "throws"), SIZES)
def test_judging_against_numpy(benchmark, seconds, hitters, throws):
    """A curve among three types, over all counts."""
    p = uncertain(PROFESSIONAL, hitters - 1, np.random.default_rng(1))
    asked = columns(CURVE.paths(throws), hitters), in_mind(THREE, p), p, Situation(), noise_of(throws)
    ours = seconds(lambda: one_glance.judge(*asked), 30)
    theirs = seconds(lambda: equations.judge(*asked), 3)
    # the same model: 3e-6 is the normal distribution's 1e-7, a few times over
    np.testing.assert_allclose(one_glance.judge(*asked).contact, equations.judge(*asked).contact, atol=3e-6)
    benchmark.extra_info |= {"throws_per_s": hitters * throws / ours, "times_numpy": theirs / ours}
    benchmark(one_glance.judge, *asked)
    assert theirs / ours > 4.0


def test_moments_against_judging(benchmark, seconds):
    """A moment is looked for at some fifty times: it takes less than fifty judgements."""
    throws, p = 512, PROFESSIONAL
    paths, types, noise = CURVE.paths(throws), in_mind(THREE, p), noise_of(throws)
    found = seconds(lambda: moments(one_glance, paths, types, 2, p, Situation(), noise), 10)
    once = seconds(lambda: one_glance.judge(paths, types, p, Situation(), noise), 30)
    benchmark.extra_info |= {"throws_per_s": throws / found, "judgements": found / once}
    benchmark(moments, one_glance, paths, types, 2, p, Situation(), noise)
    assert found / once < 50.0


def test_compare(benchmark, seconds):
    whole = seconds(lambda: compare("two-grips"), 5)
    quick = seconds(lambda: compare("two-grips", intervals=False), 5)
    benchmark.extra_info |= {"with_intervals_s": whole, "without_s": quick}
    benchmark(compare, "two-grips")
    assert whole / quick < 20.0  # 64 draws side by side cost far less than 64 questions
