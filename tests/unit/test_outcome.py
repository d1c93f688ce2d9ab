"""What became of a throw."""

from collections.abc import Callable

import numpy as np
import pytest

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.arrival import arrive
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight.outcome import OUTCOMES, has_arrived, outcomes
from latebreak.engine.pitch.pitch import Pitch

MakePitch = Callable[..., Pitch]

AIR = Conditions(air_density=1.2)


def outcome(bundle: Bundle) -> str:
    release = bundle.releases(np.zeros((9, 1)))
    code = outcomes(release, bundle.flight.arrivals(release), bundle.flight.constants.radius)
    return OUTCOMES[int(code[0])]


@pytest.mark.parametrize(
    ("mph", "elevation_deg", "azimuth_deg", "expected"),
    [
        (90.0, -1.0, 1.5, "arrived"),
        (40.0, -10.0, 0.0, "bounced"),
        (20.0, 90.0, 0.0, "stalled"),
        (90.0, 10.0, 0.0, "flew_off"),
        (90.0, 0.0, 25.0, "flew_off"),
        (90.0, 0.0, 180.0, "stalled"),
    ],
)
def test_outcome(make_pitch: MakePitch, mph: float, elevation_deg: float, azimuth_deg: float, expected: str) -> None:
    bundle = prepare(make_pitch(mph, 1500.0, launch_deg=(elevation_deg, azimuth_deg)), AIR)
    assert outcome(bundle) == expected


def test_a_lob_that_comes_down_at_the_plate_is_steep(make_pitch: MakePitch) -> None:
    lobs = [prepare(make_pitch(45.0, 0.0, launch_deg=(e, 0.0)), AIR) for e in np.arange(61.0, 85.0, 0.5)]
    found = {outcome(lob) for lob in lobs}
    assert "arrived_steep" in found
    assert "arrived" not in found


def test_a_throw_straight_up_is_counted_and_never_averaged(make_pitch: MakePitch) -> None:
    bundle = prepare(make_pitch(20.0, 1500.0, launch_deg=(90.0, 0.0)), AIR)
    arrivals = arrive(bundle, Draws(3, 1000))
    assert arrivals.outcomes == {**dict.fromkeys(OUTCOMES, 0), "stalled": 1000}
    assert arrivals.summary.count == 0


@pytest.mark.parametrize("threads", [1, 3])
def test_throws_that_go_astray_spare_the_means(make_pitch: MakePitch, threads: int) -> None:
    # 40 mph, 20 times the usual scatter of the launch: some arrive, some bounce, some go up and never come.
    bundle = prepare(make_pitch(42.0, 1500.0, launch_deg=(25.0, 0.0), spread_scale=20.0), AIR)
    arrivals = arrive(bundle, Draws(3, 4000), threads)
    assert sum(arrivals.outcomes.values()) == 4000
    assert arrivals.outcomes["stalled"] > 20
    assert arrivals.outcomes["bounced"] > 20
    arrived = arrivals.outcomes["arrived"] + arrivals.outcomes["arrived_steep"]
    assert arrived > 20
    assert arrivals.summary.count == arrived
    for name in ("mean", "sd", "low", "high", "sampling_error"):
        assert np.isfinite(getattr(arrivals.summary, name)).all()


def test_not_a_number_is_an_outcome(make_pitch: MakePitch) -> None:
    bundle = prepare(make_pitch(), AIR)
    release = np.tile(bundle.releases(np.zeros((9, 1))), 3)
    arrivals = bundle.flight.arrivals(release)
    arrivals[:, 1] = np.nan
    arrivals[0, 2] = np.inf
    codes = outcomes(release, arrivals, bundle.flight.constants.radius)
    assert [OUTCOMES[code] for code in codes] == ["arrived", "stalled", "stalled"]
    np.testing.assert_array_equal(has_arrived(codes), [True, False, False])
