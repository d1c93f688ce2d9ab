"""The default hitter, with the parameters that the package carries, against published experiments and the trade.

Statuses of sources: read, secondary (quoted by others), memory (recalled, not seen), computed.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import acos

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.aim import SPEED
from latebreak.engine.ball import Conditions
from latebreak.engine.bundle import Bundle, covariance_factor, prepare
from latebreak.engine.draws import Draws
from latebreak.engine.pitch import Pitch, Spread
from latebreak.engine.units import DEGREE, FOOT, INCH, MILLISECOND, MPH
from latebreak.perception.calibration import professional
from latebreak.perception.experiments import share_of_strikes
from latebreak.perception.eye import Eye
from latebreak.perception.forecast import foresee
from latebreak.perception.hitter import preset
from latebreak.perception.kinds import Role
from latebreak.perception.model import observer
from latebreak.perception.published import PUBLISHED, figures
from latebreak.perception.swing import CONTACT, MEMORY
from latebreak.perception.templates import Template, remember
from latebreak.perception.view import HEIGHT_AT_PLATE, TIME

Array = NDArray[np.float64]
MakePitch = Callable[..., Pitch]
SIDES = ["right", "left"]
AIR, YOUTH_FIELD = Conditions(air_density=1.2), Conditions(air_density=1.2, rubber_to_plate=46.0 * FOOT)
THROWS = 4096
#: Standard errors of a contact chance over so many throws are at most 0.5/sqrt(4096) = 0.008; of a difference under the
#: same draws less. Four of them.
FOUR_ERRORS = 4 * 0.008


@pytest.fixture(scope="module")
def model() -> dict[str, float]:
    return {name: float(figure[0]) for name, figure in figures(professional()).items()}


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        # Elmore and Matthews (2022), read: 95 % interval of the odds ratio of contact. Fitted.
        ("odds_ratio", 1.342, 2.675),
        # Common level of professional hitting (memory), percent. Fitted: the fastball, the mean of the others.
        ("fastball", 75.0, 88.0),
        ("not_fastballs", 60.0, 80.0),
        ("curve", 60.0, 80.0),
        ("changeup", 60.0, 80.0),
        # Kidokoro and Yanai (2017), abstract (read), percent of hits; skilled amateurs, a professional here. Fitted.
        ("sweet_spot", 28.0, 38.0),
        # Brenner, Driesen and Smeets (2014), abstract (read), ms; falling balls there, a machine here. Only compared.
        ("timing", 5.0, 9.0),
        # Ishigaki and Fukuda (1997), read: no gain after four fifths. Only compared.
        ("four_fifths", 0.95, 1.0),
        # The same, secondary, percent, for one who goes by heading and gravity alone. Only compared.
        ("after_a_third_by_heading", 53.0, 67.0),
        # Kishita et al. (2020), read, ms. Only compared.
        ("gaze_75", 80.0, 220.0),
        ("gaze_95", 80.0, 220.0),
    ],
)
def test_inside_what_was_published(model: dict[str, float], name: str, low: float, high: float) -> None:
    assert low <= model[name] <= high
    assert (PUBLISHED[name].low, PUBLISHED[name].high) == (low, high)


def test_outside_what_was_published(model: dict[str, float]) -> None:
    """Known to be outside, and strict: if one comes inside, the documents need a new word.

    Calls after a third of the path, 53 to 67 % (Ishigaki and Fukuda 1997, secondary): the model knows the machine, so
    speed and movement hold no surprise and the heading tells the place. People seem to use another, poorer rule for
    this task; see the row by heading and gravity. The slider, 60 to 80 % (memory), is met a little too often.
    """
    outside = {name for name, row in PUBLISHED.items() if not row.holds(model[name])}
    assert outside == {"after_a_third", "slider"}
    assert model["after_a_third"] > 67.0
    assert 80.0 < model["slider"] < 83.0


def test_half_of_the_pitches_that_are_called_are_strikes() -> None:
    """The location mix is ours: half of them, so that a guess is right half of the time; to four standard errors of
    4,096 throws, 4 * 0.5/64.
    """
    assert share_of_strikes() == pytest.approx(0.5, abs=4 * 0.5 / 64)


@pytest.mark.parametrize(
    ("thrown", "expected", "feet", "time", "height"),
    [
        # 95 mph taken for 90 over 55 ft: 21.9 ms and 3.43 in (computed; Bahill and Karnavas say about 3, value from
        # memory).
        (95.0, 90.0, 55.0, (21.9, 22.0), (3.42, 3.44)),
        # 70 expected, 85 thrown over 59.5 ft: 102.3 ms and 1.73 ft (computed from the stimulus of Gray 2002, which
        # has g = 32 ft/s2, half a percent less).
        (85.0, 70.0, 59.5, (101.0, 103.0), (1.71 * 12.0, 1.75 * 12.0)),
    ],
)
def test_a_speed_that_is_taken_for_another(
    make_pitch: MakePitch,
    thrown: float,
    expected: float,
    feet: float,
    time: tuple[float, float],
    height: tuple[float, float],
) -> None:
    """In vacuum and with nothing seen, the forecast is off by the difference of two falls: arithmetic."""
    vacuum = Conditions(air_density=1e-9, rubber_to_plate=(feet + 17.0 / 12.0 + 5.0) * FOOT)
    ready = prepare(make_pitch(thrown, 0.0, 0.0, 0.0, extension_ft=5.0, launch_deg=(0.0, 0.0)), vacuum)
    levers = ready.mean.levers.copy()
    levers[SPEED] = expected * MPH
    type_ = Template("fastball", 1.0, replace(ready.mean, levers=levers), ready.flight, np.zeros(1))
    hitter = preset("professional", Eye(), 0.150)
    encounter = observer.meet(ready.mean, ready.flight, ready.factor, [type_], 0, hitter, hitter.traits)
    off = foresee(encounter, np.zeros(1), np.zeros(1)).offset[0, 0]
    assert time[0] <= -off[TIME] / MILLISECOND <= time[1]  # sooner than forecast
    assert height[0] <= off[HEIGHT_AT_PLATE] / INCH <= height[1]  # and higher


@dataclass(frozen=True, eq=False)
class Staff:
    """A pitcher's types, prepared: (bundle, role, share), the fastball first."""

    types: Sequence[tuple[Bundle, Role, float]]
    conditions: Conditions = AIR
    hand: str = "right"

    def contact(
        self,
        number: int,
        bats: str = "right",
        level: str = "professional",
        familiarity: float = 0.5,
        *,
        known: bool = False,
        turned: bool = False,
    ) -> float:
        """Chance of contact with one of the types; `turned` takes the mirror image of every throw."""
        types = [
            remember(role, share, bundle.mean, bundle.flight, self.conditions, level, role, self.hand, familiarity)
            for bundle, role, share in self.types
        ]
        types, own = ([types[number]], 0) if known else (types, number)
        thrown = self.types[number][0]
        hitter = preset(level, Eye(bats=bats), 0.150, familiarity)
        normals = Draws(3, 8 * THROWS).normals(0)[:9]
        if turned:
            normals[MIRRORED] *= -1.0
        noise = np.random.default_rng(3).standard_normal((MEMORY + 3 * (len(types) - 1), THROWS))
        met = observer.meet(thrown.mean, thrown.flight, thrown.factor, types, own, hitter, hitter.traits)
        return float(observer.swing(observer.ready(met), normals, noise)[CONTACT].mean())


#: Levers that change sign in the mirror: break clock, gyro, release side, launch azimuth.
MIRRORED = [2, 3, 4, 8]
FASTBALL = (92.0, 2300.0, 21.0, 95.0, 2.5)  # mph, rpm, break clock in deg, efficiency in %, height of the target in ft
CHANGEUP = (84.0, 1800.0, 48.0, 90.0, 2.0)


@pytest.fixture(scope="module")
def staff(make_pitch: MakePitch) -> Callable[..., Staff]:
    """Typical professional values (memory) unless a test says otherwise; targets chosen."""

    def ready(entry: tuple[float, ...], conditions: Conditions, *, left: bool, scale: float) -> Bundle:
        mph, rpm, clock, efficiency, height = entry
        side = -1.0 if left else 1.0
        pitch = make_pitch(
            mph, rpm, side * clock, side * acos(efficiency / 100.0) / DEGREE, release_side_ft=side * -2.0,
            release_height_ft=6.0 if scale < 2.0 else 4.6, extension_ft=6.0 if scale < 2.0 else 4.5,
            target_ft=(0.0, height), spread_scale=scale,
        )  # fmt: skip
        # prepared by its mean alone: the sample that a bundle's step count rests on has no mirror image
        bare = prepare(replace(pitch, spread=Spread()), conditions)
        return replace(bare, factor=covariance_factor(pitch.spread))

    def make(
        *entries: tuple[tuple[float, ...], Role], conditions: Conditions = AIR, left: bool = False, scale: float = 1.0
    ) -> Staff:
        fastballs = sum(role == "fastball" for _, role in entries)
        share = {True: 0.6 / fastballs, False: 0.4 / max(len(entries) - fastballs, 1)}
        return Staff(
            [
                (ready(entry, conditions, left=left, scale=scale), role, share[role == "fastball"])
                for entry, role in entries
            ],
            conditions,
            "left" if left else "right",
        )

    return make


def with_curve(staff: Callable[..., Staff], mph: float, rpm: float, efficiency: float) -> Staff:
    curve = (mph, rpm, 198.0, efficiency, 1.9)
    return staff((FASTBALL, "fastball"), (curve, "breaking"), (CHANGEUP, "offspeed"))


@pytest.mark.parametrize("level", ["professional", "college"])
@pytest.mark.parametrize("bats", SIDES)
def test_a_hard_clean_curve_is_missed_more_than_a_slow_loose_one(
    staff: Callable[..., Staff], bats: str, level: str
) -> None:
    """Common practice, no source. Clearly: 5 points, more than four standard errors."""
    hard, slow = with_curve(staff, 79.0, 2700.0, 96.0), with_curve(staff, 72.0, 2200.0, 76.0)
    assert hard.contact(1, bats, level) < slow.contact(1, bats, level) - 0.05


@pytest.mark.parametrize("level", ["professional", "college"])
@pytest.mark.parametrize("bats", SIDES)
def test_harder_at_equal_spin_is_missed_more(staff: Callable[..., Staff], bats: str, level: str) -> None:
    """Common practice, no source. Every step, and over all steps 2 points."""
    contact = [with_curve(staff, mph, 2500.0, 75.0).contact(1, bats, level) for mph in (70.0, 74.0, 78.0, 82.0, 86.0)]
    assert (np.diff(contact) < 0.0).all()
    assert contact[-1] < contact[0] - 0.02


@pytest.mark.parametrize("familiarity", [0.0, 0.3])
@pytest.mark.parametrize("bats", SIDES)
def test_contact_is_highest_near_the_movement_that_is_expected(
    staff: Callable[..., Staff], bats: str, familiarity: float
) -> None:
    """A changeup of which the hitter knows the type, and expects 1,800 rpm: common practice, no source.

    Type unknown it is not so on the opposite side: less spin then moves the changeup away from the fastball, which
    tells it. And less spin of a curve takes it towards the slider, another kind that hitters know.
    """
    rates = [600.0, 1200.0, 1800.0, 2400.0, 3000.0]
    staffs = [staff((FASTBALL, "fastball"), ((84.0, rpm, 48.0, 90.0, 2.0), "offspeed")) for rpm in rates]
    contact = [each.contact(1, bats, familiarity=familiarity, known=True) for each in staffs]
    best = int(np.argmax(contact))
    assert rates[best] in {1200.0, 1800.0}
    assert (np.diff(contact[: best + 1]) > 0.0).all()
    assert (np.diff(contact[best:]) < 0.0).all()
    assert max(contact[0], contact[-1]) < contact[best] - 0.01


CURVE, SLIDER, SINKER = (
    (79.0, 2550.0, 198.0, 67.0, 1.9),
    (84.0, 2450.0, 262.0, 35.0, 2.0),
    (91.0, 2150.0, 68.0, 90.0, 2.2),
)
STAFFS = {
    "four-seam, curve, changeup": ((FASTBALL, "fastball"), (CURVE, "breaking"), (CHANGEUP, "offspeed")),
    "sinker, slider, changeup": ((SINKER, "fastball"), (SLIDER, "breaking"), (CHANGEUP, "offspeed")),
    "four-seam, sinker, changeup": ((FASTBALL, "fastball"), (SINKER, "fastball"), (CHANGEUP, "offspeed")),
}


@pytest.mark.parametrize("left", [False, True])
@pytest.mark.parametrize("name", STAFFS)
def test_three_pitch_staffs_are_met_as_hitters_meet_pitches(staff: Callable[..., Staff], name: str, left: bool) -> None:
    """From either hand: half to 95 % of swings meet the ball, the type known never hurts, and professionals make more
    contact than college hitters (common practice, no source).
    """
    pitcher = staff(*STAFFS[name], left=left)
    for bats in SIDES:
        for number in range(3):
            contact, told = pitcher.contact(number, bats), pitcher.contact(number, bats, known=True)
            assert 0.5 < contact < 0.95
            assert contact < told + FOUR_ERRORS
            assert pitcher.contact(number, bats, "college") < contact - FOUR_ERRORS


@pytest.mark.parametrize("number", range(3))
@pytest.mark.parametrize("bats", SIDES)
def test_a_left_hander_is_a_right_hander_in_the_mirror(staff: Callable[..., Staff], bats: str, number: int) -> None:
    """Law: the mirror image of every throw before the mirror image of the hitter is met alike, but for rounding."""
    right, left = (staff(*STAFFS["sinker, slider, changeup"], left=hand) for hand in (False, True))
    other = "left" if bats == "right" else "right"
    assert left.contact(number, other, turned=True) == pytest.approx(right.contact(number, bats), abs=1e-8)


@pytest.mark.parametrize("bats", SIDES)
def test_youth_from_46_feet(staff: Callable[..., Staff], bats: str) -> None:
    """A 58 mph fastball and a 50 mph changeup (chosen): young hitters meet a good part of them, fewer than a
    professional would; knowing the type never hurts, knowing the pitcher helps against his changeup.
    """
    pitcher = staff(
        ((58.0, 1500.0, 15.0, 88.0, 2.0), "fastball"),
        ((50.0, 1250.0, 35.0, 85.0, 1.8), "offspeed"),
        conditions=YOUTH_FIELD,
        scale=2.0,
    )
    for number in range(2):
        contact = pitcher.contact(number, bats, "youth")
        assert 0.4 < contact < 0.9
        assert contact < pitcher.contact(number, bats, "youth", known=True) + FOUR_ERRORS
        assert contact < pitcher.contact(number, bats, "professional") - 0.1
    first, half, whole = (pitcher.contact(1, bats, "youth", familiarity) for familiarity in (0.0, 0.5, 1.0))
    assert first < half - FOUR_ERRORS
    assert half < whole - FOUR_ERRORS
