"""What a hitter remembers of a type, against its mean path."""

import numpy as np
from batting import CHANGEUP, CURVE, FASTBALL, MIX, PROFESSIONAL, SLIDER, columns, in_mind

from latebreak.engine.flight.kernel import AT_TIME, AT_X, AT_Z
from latebreak.engine.units import STANDARD_GRAVITY
from latebreak.perception.parameters import uncertain
from latebreak.perception.repertoire import remember
from latebreak.perception.timing import moment


def test_onward_takes_each_type_to_where_it_arrives() -> None:
    """p(T) = p(s) + (p'(s - lag/2) + A lag/2) R + A R^2/2, solved for A here from the path itself."""
    p = uncertain(PROFESSIONAL, 2, np.random.default_rng(1))
    types = in_mind(MIX, p)
    for h, (thrown, _) in enumerate(MIX.values()):
        path = columns(thrown.mean, 3)
        s = moment(path.arrivals[AT_TIME], types.ready_time, p)
        there, before = path.at(s[None])[0], path.at((s - 0.5 * p.motion_lag)[None])[0]
        remaining, a = path.arrivals[AT_TIME] - s, types.onward[h].T
        place = there[[0, 2]] + (before[[3, 5]] + 0.5 * a * p.motion_lag) * remaining + 0.5 * a * remaining**2
        np.testing.assert_allclose(place, path.arrivals[[AT_X, AT_Z]], atol=1e-9)


def test_movement_is_that_of_the_kind() -> None:
    """A fastball of backspin falls by less than gravity, a curve by more; a slider goes to the pitcher's left."""
    types = in_mind(MIX, PROFESSIONAL)
    fastball, slider, curve, changeup = types.onward[:, 0]
    assert fastball[1] > -STANDARD_GRAVITY > curve[1]
    assert fastball[1] > changeup[1] > curve[1]
    assert slider[0] > 0.0 > changeup[0]


def test_shares_speed_and_line() -> None:
    types = in_mind(MIX, PROFESSIONAL)
    np.testing.assert_allclose(np.exp(types.log_share[:, 0]), [share for _, share in MIX.values()])
    mph = [FASTBALL.speed, SLIDER.speed, CURVE.speed, CHANGEUP.speed]
    np.testing.assert_allclose(np.exp(types.log_speed[:, 0]) / 0.44704, mph, rtol=1e-12)
    assert (types.line_sd == PROFESSIONAL.line_scatter).all()
    told = remember(
        list(MIX), [1.0] * 4, [thrown.mean for thrown, _ in MIX.values()], PROFESSIONAL, np.full((4, 1), 0.02)
    )
    assert (told.line_sd == 0.02).all()
    # the curve is thrown higher out of the hand than the fastball
    assert types.line[2, 0, 1] > types.line[0, 0, 1] + np.radians(1.0)
    assert types.ready_time[0] == FASTBALL.mean.arrivals[AT_TIME, 0]


def test_who_is_never_expected_is_not_in_mind() -> None:
    types = in_mind(MIX, PROFESSIONAL)
    fewer = types.expected([3.0, 0.0, 1.0, 0.0])
    assert fewer.names == ("fastball", "curve")
    np.testing.assert_allclose(np.exp(fewer.log_share[:, 0]), [0.75, 0.25])
    np.testing.assert_array_equal(fewer.onward, types.onward[[0, 2]])
    np.testing.assert_array_equal(fewer.ready_time, types.ready_time)
