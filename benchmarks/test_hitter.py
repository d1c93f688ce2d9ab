"""Throws faced per second, as a ratio to the same equations in plain vectorised numpy in the same run."""

from __future__ import annotations

import numpy as np
import pytest
from plain_hitter import judged

from latebreak.engine.bundle.bundle import prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight.kernel import AT_TIME
from latebreak.engine.pitch.pitch import Pitch, Target
from latebreak.engine.units import DEGREE, FOOT, MPH, RPM
from latebreak.perception.bat import CLEAN, CONTACT
from latebreak.perception.model import Situation, one_glance
from latebreak.perception.parameters import preset, uncertain
from latebreak.perception.repertoire import remember
from latebreak.perception.seeing import NOISE
from latebreak.perception.timing import moment
from latebreak.service.questions import compare

#: mph, rpm, deg of the break clock and of gyro: of what the hitter has in mind besides the bundle's curve.
OTHERS = ((92.0, 2300.0, 20.0, 18.0), (84.0, 1800.0, 48.0, 25.0))
THROWS = 4096
SITUATION = Situation(count=(1, 2))


@pytest.fixture(scope="module", params=[1, 8], ids=["one hitter", "eight side by side"])
def faced(request, conditions, bundle):
    """A curve among three types: paths, types, parameters and noise."""
    m = request.param
    own = preset("professional")
    parameters = own if m == 1 else uncertain(own, m - 1, np.random.default_rng(2))
    fastball, slow = (
        prepare(
            Pitch(v * MPH, w * RPM, c * DEGREE, g * DEGREE, -1.8 * FOOT, 5.9 * FOOT, 6 * FOOT, Target(0.0, 2.3 * FOOT)),
            conditions,
        )
        for v, w, c, g in OTHERS
    )
    same = np.zeros(m, np.int64)
    means = [one.flight.paths(one.mean.columns(same).releases()) for one in (fastball, bundle, slow)]
    types = remember(("fastball", "curve", "slow"), (0.6, 0.25, 0.15), means, parameters)
    normals = Draws(1, 8 * THROWS).normals(0)
    paths = bundle.flight.paths(bundle.scattered(bundle.mean.columns(same), normals))
    noise = np.random.default_rng(1).standard_normal((len(NOISE), normals.shape[1]))
    return paths, types, parameters, SITUATION, noise


def test_the_plain_hitter_is_the_same(faced):
    """Beliefs to 1e-9 and chances to 1e-6: the series of our exponential and of our normal distribution end there."""
    paths, types, parameters, situation, noise = faced
    ours = one_glance.judge(*faced)
    times = moment(paths.arrivals[AT_TIME].reshape(parameters.lapse.size, -1), types.ready_time, parameters)
    theirs = judged(ours.glance, times, types, parameters, situation, noise)
    np.testing.assert_allclose(ours.belief, theirs["belief"], atol=1e-9)
    np.testing.assert_allclose(ours.swing, theirs["swing"], atol=1e-6)
    np.testing.assert_allclose(ours.contact[CONTACT], theirs["contact"], atol=1e-6)
    np.testing.assert_allclose(ours.contact[CLEAN], theirs["clean"], atol=1e-6)


def test_judge_against_plain_numpy(benchmark, faced, seconds):
    """The eye is ours in both: what is timed besides is the belief, the forecast, the decision and the bat."""
    paths, types, parameters, situation, noise = faced
    glance = one_glance.judge(*faced).glance
    times = moment(paths.arrivals[AT_TIME].reshape(parameters.lapse.size, -1), types.ready_time, parameters)
    ours = seconds(lambda: one_glance.judge(*faced), 20)
    theirs = seconds(lambda: judged(glance, times, types, parameters, situation, noise), 5)
    throws = parameters.lapse.size * noise.shape[1]
    benchmark.extra_info |= {"throws_per_s": throws / ours, "times_plain_numpy": theirs / ours}
    benchmark(one_glance.judge, *faced)


def test_compare(benchmark, seconds):
    whole = seconds(lambda: compare("two-grips"), 5)
    quick = seconds(lambda: compare("two-grips", intervals=False), 5)
    benchmark.extra_info |= {"with_intervals_s": whole, "without_s": quick, "times_without": whole / quick}
    benchmark(compare, "two-grips")
