"""How much of a way is done, the chance of being there, and how both are said."""

from typing import Any

import numpy as np
import pytest
from following import KEPT, followed
from scipy.stats import norm

from latebreak.service.judging.estimates import Estimate
from latebreak.service.quantities import Reader
from latebreak.service.questions.following.kept_goal import KeptRoad
from latebreak.service.questions.following.progress_words import progress_said, way_said
from latebreak.service.questions.following.result import GoalProgress, Progress, SessionProgress
from latebreak.service.questions.following.shares import lever_progress, on_the_way, share_of, way_of
from latebreak.service.scenario import load
from latebreak.service.tables.goal import drawn

TWO_GRIPS = load("two-grips").scenario


class Told:
    """What is known of one quantity, as a fit has it."""

    def __init__(self, key: str, value: float, error: float, origin: str = "measured") -> None:
        self.values = {key: Estimate(value, 0.0, value - 1.645 * error, value + 1.645 * error)}
        self.errors, self.origin = {key: error}, {key: origin}


def lever(key: str, now: float, wanted: float, value: float, error: float, origin: str = "measured") -> Progress | None:
    known: Any = Told(key, value, error, origin)
    return lever_progress(key, KeptRoad(now=now, wanted=wanted), known, None)


@pytest.mark.parametrize(
    ("now", "wanted", "value", "percent"),
    [(77.0, 79.0, 78.2, 60.0), (77.0, 79.0, 76.0, -50.0), (79.0, 77.0, 76.0, 150.0), (77.0, 79.0, 77.0, 0.0)],
)
def test_share_and_chance(now: float, wanted: float, value: float, percent: float) -> None:
    found = lever("speed_mph", now, wanted, value, 0.5)
    assert found is not None
    assert found.share_percent is not None
    share = found.share_percent
    assert share.value == pytest.approx(percent)
    half = 100.0 * 1.645 * 0.5 / abs(wanted - now)
    assert (share.low, share.high) == (pytest.approx(percent - half), pytest.approx(percent + half))
    toward = np.sign(wanted - now)
    assert found.chance_percent == pytest.approx(100.0 * norm.cdf(toward * (value - wanted) / 0.5))


def test_a_clock_goes_the_short_way() -> None:
    """From 355 degrees to 5 are 10 forward, and 2 is 70 % of them."""
    found = lever("break_clock_deg", 355.0, 5.0, 2.0, 1.0)
    assert found is not None
    assert found.share_percent is not None
    assert found.share_percent.value == pytest.approx(70.0)
    assert found.chance_percent == pytest.approx(100.0 * norm.cdf(-3.0))
    back = lever("break_clock_deg", 5.0, 355.0, 8.0, 1.0)
    assert back is not None
    assert back.share_percent is not None
    assert back.share_percent.value == pytest.approx(-30.0)


def test_what_throws_do_not_tell() -> None:
    assert lever("speed_mph", 77.0, 79.0, 78.0, 0.5, "assumed") is None
    assert lever("speed_mph", 77.0, 79.0, 78.0, 0.0) is None
    known: Any = Told("speed_mph", 78.0, 0.5)
    road, stood = KeptRoad(now=1.0, wanted=0.8), TWO_GRIPS.pitch["curve_spike"].spread
    assert lever_progress("spread_scale", road, known, stood) is None  # no spread is measured
    known = Told("spread.speed_mph", 1.0, 0.2)
    assert lever_progress("spread_scale", road, known, None) is None  # it is not known of what it is the factor


def test_the_spread_as_a_whole() -> None:
    """By hand: speed at 0.8 and spin rate at 0.9 of what they were, known to 0.2 and 0.1 of it: weights 25 and 100."""
    stood = TWO_GRIPS.pitch["curve_spike"].spread
    speed, rate = stood.speed_mph, stood.spin_rpm
    assert speed is not None
    assert rate is not None
    known: Any = Told("spread.speed_mph", 0.8 * speed, 0.2 * speed)
    other = Told("spread.spin_rpm", 0.9 * rate, 0.1 * rate)
    known.values |= other.values
    known.errors |= other.errors
    known.origin |= other.origin
    found = lever_progress("spread_scale", KeptRoad(now=1.0, wanted=0.84), known, stood)
    assert found is not None
    assert found.share_percent is not None
    scale, error = (25.0 * 0.8 + 100.0 * 0.9) / 125.0, 125.0**-0.5
    assert found.estimate.value == pytest.approx(scale)
    assert found.estimate.low == pytest.approx(scale - 1.6449 * error, abs=1e-5)
    assert found.share_percent.value == pytest.approx(100.0 * (1.0 - scale) / 0.16)
    assert found.chance_percent == pytest.approx(100.0 * norm.cdf((0.84 - scale) / error))


def test_where_there_is_no_way_to_go() -> None:
    assert share_of(Estimate(1.0, 0.1, 0.5, 1.5), 0.0) is None
    assert way_of("miss_chance_percent", 32.0, 32.0) == 1  # more is better
    assert way_of("clean_contact_percent", 32.0, 32.0) == -1
    assert way_of("speed_mph", 77.0, 77.0) == 0
    found = lever("speed_mph", 77.0, 77.0, 78.0, 0.5)
    assert found is not None
    assert (found.share_percent, found.chance_percent) == (None, None)


def test_ends_are_in_order_where_less_is_wanted() -> None:
    share = share_of(Estimate(-1.0, 0.1, -3.0, 0.5), -2.0)
    assert share == Estimate(50.0, 5.0, -25.0, 150.0)
    assert share_of(Estimate(-1.0, 0.1), -2.0) == Estimate(50.0, 5.0)


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (Estimate(60.0, 0.0, 40.4, 79.6), "60 % of the way (40 to 80 %)"),
        (Estimate(120.0, 0.0), "120 % of the way"),
        (Estimate(-20.0, 0.0, -60.0, 20.0), "20 % the wrong way (60 % the wrong way to 20 %)"),
        (Estimate(-70.0, 0.0, -150.0, -20.0), "70 % the wrong way (20 to 150 %)"),
        (Estimate(0.2, 0.0, -0.4, 0.9), "0 % of the way (0 to 1 %)"),
        (Estimate(-0.2, 0.0), "0 % of the way"),
    ],
)
def test_a_share_in_words(share: Estimate, words: str) -> None:
    assert way_said(share) == words


def test_sentences_are_of_the_last_session_in_which_it_was_thrown() -> None:
    said = list(map(str, progress_said(followed(0.0, 50.0, None), TWO_GRIPS, Reader())))
    name = TWO_GRIPS.called("curve_spike")
    assert said[0] == (
        f"{name}, miss chance, per swing: 34.0 % of 36.0 % wanted (90 %: 29.0 to 43.0 %); 50 % of the way "
        "(20 to 80 %); chance that it is there 55 %."
    )
    assert said[1] == (
        "Speed 78.2 mph of 79.0 mph wanted (90 %: 77.6 to 78.8 mph); 60 % of the way (30 to 90 %); "
        "chance that it is there 1 %."
    )
    assert said[2] == "The throws tell nothing about spin rate."


def test_metric_sentences() -> None:
    said = list(map(str, progress_said(followed(50.0), TWO_GRIPS, Reader("metric"))))
    assert "125.9 km/h of 127.1 km/h wanted" in said[1]


def test_the_measure_stands_on_the_way_with_the_interval_of_the_way() -> None:
    measure = followed(50.0).sessions[0].measure
    assert measure is not None
    place = on_the_way(KEPT, measure)
    assert (place.value, place.low, place.high) == pytest.approx((34.0, 32.8, 35.2))
    alone = Progress(Estimate(34.0, 0.1, 29.0, 43.0), None, None)
    assert on_the_way(KEPT, alone) == alone.estimate


def test_the_drawing_is_to_scale_and_has_a_line_a_session() -> None:
    head, *lines = drawn(followed(0.0, 50.0, None, -30.0), Reader())
    assert "32.0 % as written and 36.0 % wanted" in head
    assert len(lines) == 4
    assert all(line.isascii() for line in lines)
    bar = [line[len("day 1, 12 throws") + 2 :][:41] for line in lines]
    written, wanted = bar[2].index("|"), bar[2].rindex("|")
    assert [one.index("o") for one in (bar[0], bar[1])] == pytest.approx([written, (written + wanted) / 2], abs=1.0)
    assert bar[3].index("o") < written
    assert "o" not in bar[2]
    assert "not thrown" in lines[2]
    assert "30 % the wrong way" in lines[3]


def test_nothing_is_drawn_where_nothing_could_be_judged() -> None:
    unjudged = SessionProgress("day 1", 12)
    assert drawn(GoalProgress(KEPT, "", (unjudged,)), Reader()) == []
    said = progress_said(GoalProgress(KEPT, "", (unjudged,)), TWO_GRIPS, Reader())
    assert str(said[0]).endswith("36.0 % wanted; it can't be told.")
