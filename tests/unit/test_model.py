"""A model is the sum of its parts: each is asked in turn, and a part of another kind shows wherever it counts."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from batting import CURVE, MIX, PROFESSIONAL, columns, face, in_mind, misses, moments_of, noise_of, swings
from equations import judge
from numpy.typing import NDArray

from latebreak.engine.flight.kernel import AT_TIME
from latebreak.perception.forecast import FORECAST_ROWS, FORECAST_X, FORECAST_Z, LOOKS_X, LOOKS_Z, TIME_TO_GO
from latebreak.perception.model import HitterModel, Situation, keen_eye, one_glance, speed_alone
from latebreak.perception.moments import MOMENTS
from latebreak.perception.parameters import Parameters, uncertain
from latebreak.perception.repertoire import Types
from latebreak.perception.seeing import ARRIVAL_X, ARRIVAL_Z, GLANCE
from latebreak.perception.timing import moment

Array = NDArray[np.float64]

TUNNEL_EXIT, RECOGNITION, BREAK_ONSET = range(len(MOMENTS))


def share_only(glance: Array, types: Types, parameters: Parameters, noise: Array) -> Array:
    """Believes what he expects, whatever he sees."""
    return np.exp(types.log_share)[:, :, None] * np.ones(glance.shape[1:])


def nonsense(glance: Array, belief: Array, types: Types, parameters: Parameters, noise: Array) -> Array:
    """Forecasts a ball three metres outside and half a second late."""
    forecast = np.full((FORECAST_ROWS, *glance.shape[1:]), 0.1)
    forecast[[FORECAST_X, LOOKS_X]], forecast[[FORECAST_Z, LOOKS_Z]], forecast[TIME_TO_GO] = 3.0, 4.0, 0.7
    return forecast


UNBELIEVING, DREAMING = replace(one_glance, believe=share_only), replace(one_glance, foresee=nonsense)


@pytest.mark.parametrize("name", MIX)
def test_who_never_believes_shows_it_everywhere(name: str) -> None:
    """His belief is his expectation, he never recognises, and is surprised by more and misses more where belief helps;
    his eye is the same. A changeup lives on being believed to be something else.
    """
    usual, other = (face(name, model=model) for model in (one_glance, UNBELIEVING))
    expected = np.array([share for _, share in MIX.values()])
    np.testing.assert_allclose(other.belief, np.broadcast_to(expected[:, None, None], other.belief.shape))
    np.testing.assert_array_equal(other.glance, usual.glance)
    found, before = (moments_of(name, model=model) for model in (UNBELIEVING, one_glance))
    assert not found.reached[RECOGNITION].any()
    for row in (TUNNEL_EXIT, BREAK_ONSET):
        np.testing.assert_array_equal(found.time[row], before.time[row])
    assert not np.array_equal(other.swing, usual.swing)
    assert misses(other).exceeds(misses(usual)) or name == "changeup"
    surprise = [np.hypot(*(j.forecast[:2] - j.glance[[ARRIVAL_X, ARRIVAL_Z]])).mean() for j in (other, usual)]
    if name in {"slider", "curve"}:
        assert surprise[0] > surprise[1]


@pytest.mark.parametrize("name", MIX)
def test_who_forecasts_nonsense_shows_it_everywhere_but_in_what_is_seen(name: str) -> None:
    """He hardly swings and hits nothing; what he believes and when he knows is the same."""
    usual, other = (face(name, model=model) for model in (one_glance, DREAMING))
    assert (other.forecast[FORECAST_X] == 3.0).all()
    assert swings(other).value < 0.05
    assert misses(other).value > 0.99
    assert (other.contact < 0.01).all()
    np.testing.assert_array_equal(other.belief, usual.belief)
    np.testing.assert_array_equal(other.glance, usual.glance)
    a, b = (moments_of(name, model=model) for model in (DREAMING, one_glance))
    np.testing.assert_array_equal(a.time, b.time)


def test_the_parts_are_asked_in_turn_with_what_the_last_one_gave() -> None:
    asked: list[tuple[str, tuple[object, ...]]] = []

    def noted(part: str) -> Any:
        def ask(*arguments: object) -> Array:
            asked.append((part, arguments))
            answer: Array = getattr(one_glance, part)(*arguments)
            return answer

        return ask

    parts = ("see", "believe", "foresee", "decide", "swing_at")
    see_, believe_, foresee_, decide_, swing_at_ = map(noted, parts)
    model = HitterModel(see_, believe_, foresee_, decide_, swing_at_)
    situation, p, noise = Situation("left", count=(1, 2)), PROFESSIONAL, noise_of(64)
    paths, types = CURVE.paths(64), in_mind(MIX, PROFESSIONAL)
    found = model.judge(paths, types, p, situation, noise)
    assert [part for part, _ in asked] == list(parts)
    (_, see), (_, believe), (_, foresee), (_, decide), (_, swing_at) = asked
    times = moment(paths.arrivals[AT_TIME][None], types.ready_time, p)
    assert see[0] is paths
    np.testing.assert_array_equal(see[1], times)
    assert see[3] is False
    assert believe[0] is found.glance
    assert believe[3] is noise
    assert foresee[1] is found.belief
    assert decide[0] is found.forecast
    assert decide[2:] == (situation.zone, 1.0, (1, 2))
    assert swing_at[3:] == (situation.zone, 1.0, False)


def test_one_judges_by_his_own_parameters() -> None:
    late = HitterModel(parameters=lambda p: p.with_(latency=0.2))
    as_told = face("curve", p=PROFESSIONAL.with_(latency=0.2))
    found = face("curve", model=late)
    for part in ("glance", "belief", "forecast", "swing", "contact"):
        np.testing.assert_array_equal(getattr(found, part), getattr(as_told, part))


def test_shapes() -> None:
    found = face("slider", throws=64)
    assert found.glance.shape == (len(GLANCE), 1, 64)
    assert found.belief.shape == (4, 1, 64)
    assert found.forecast.shape == (FORECAST_ROWS, 1, 64)
    assert found.swing.shape == (1, 64)
    assert found.contact.shape == (2, 1, 64)


def test_who_tells_by_speed_alone_knows_no_clock() -> None:
    """Pitches of the same speed are believed in by their share alone; a keen eye tells nearly all."""
    mix = {"one": (replace(CURVE, speed=84.0), 0.6), "other": (replace(CURVE, speed=84.0, clock=262.0), 0.4)}
    blind, keen = (face("other", mix, model=model) for model in (speed_alone, keen_eye))
    np.testing.assert_allclose(blind.belief[1], 0.4, atol=0.02)
    assert keen.belief[1].mean() > 0.8


def test_sides() -> None:
    assert Situation("right", "right").same_side
    assert not Situation("left", "right").same_side
    assert Situation("right").inside == -1.0
    assert Situation("left").inside == 1.0


@pytest.mark.parametrize("count", [None, (0, 0), (3, 2)])
@pytest.mark.parametrize("bats", ["right", "left"])
def test_judging_is_what_the_equations_say(bats: str, count: tuple[int, int] | None) -> None:
    """Over draws of what is not known. Chances carry the 1e-7 of the normal distribution, a few times over."""
    p, situation = uncertain(PROFESSIONAL, 4, np.random.default_rng(7)), Situation(bats, count=count)
    for name, (thrown, _) in MIX.items():
        paths, types, noise = columns(thrown.paths(300), 5), in_mind(MIX, p), noise_of(300)
        found, expected = (way(paths, types, p, situation, noise) for way in (one_glance.judge, judge))
        for part in ("glance", "belief", "forecast"):
            np.testing.assert_allclose(
                getattr(found, part), getattr(expected, part), rtol=1e-8, atol=1e-8, err_msg=name
            )
        for part in ("swing", "contact"):
            np.testing.assert_allclose(getattr(found, part), getattr(expected, part), atol=3e-6, err_msg=name)
