"""Laws of the hitter model, for any pitch and any hitter.

Every law follows from the definitions (computed); none is a fit.
"""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from latebreak.engine.ball import Conditions
from latebreak.engine.bundle import Bundle, covariance_factor, prepare
from latebreak.engine.pitch import Pitch, Spread, Target
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM
from latebreak.perception import encounter as encounter_module
from latebreak.perception import events as events_module
from latebreak.perception import view as view_module
from latebreak.perception.encounter import Encounter
from latebreak.perception.events import moments
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import LEVELS, TRAITS, Hitter, Traits, preset
from latebreak.perception.kinds import Role
from latebreak.perception.model import HitterModel, ideal_observer, observer
from latebreak.perception.recognition import evidence, recognise
from latebreak.perception.swing import BELIEF, CONTACT, MEMORY, TIMING, VERTICAL, swing
from latebreak.perception.templates import remember

Array = NDArray[np.float64]

CONDITIONS = Conditions(air_density=1.2)
#: Medians within a game of professionals (own analysis of public tracked pitches), axis and gyro 5 deg.
SPREAD = np.array(
    [1.05 * MPH, 81 * RPM, 5 * DEGREE, 5 * DEGREE, 1.2 * INCH, 0.77 * INCH, 1.3 * INCH, 0.87 * DEGREE, 0.74 * DEGREE]
)
#: Levers and draws that change their sign in a mirror: break clock, gyro, release side, launch azimuth.
MIRRORED = [2, 3, 4, 8]
ROLES: tuple[Role, ...] = ("fastball", "breaking", "offspeed")

some = settings(max_examples=15, deadline=None, derandomize=True)


@dataclass
class Plate:
    """A pitcher's types, and the hitter who faces them."""

    pitches: list[Pitch]
    shares: list[float]
    hitter: Hitter
    hand: str = "right"

    def bundles(self) -> list[Bundle]:
        # prepared by its mean alone: the sample that a bundle's step count rests on has no mirror image
        return [
            replace(prepare(replace(p, spread=Spread()), CONDITIONS), factor=covariance_factor(p.spread))
            for p in self.pitches
        ]

    def meet(self, thrown: int, model: HitterModel = observer, known: bool = False) -> Encounter:
        """Set a pitch before the hitter, who may know which one comes."""
        bundles, h = self.bundles(), self.hitter
        columns = h.traits.lapse.size
        types = []
        for role, share, b in zip(ROLES, self.shares, bundles, strict=False):
            types.append(
                remember(
                    role, share, widened(b, columns).mean, b.flight, CONDITIONS, h.level, role, self.hand, h.familiarity
                )
            )
        if known:
            types = [types[thrown]]
        imagined, own = model.imagine(types, 0 if known else thrown)
        b = widened(bundles[thrown], columns)
        return model.meet(b.mean, b.flight, b.factor, imagined, own, h, model.traits(h.traits))

    def with_traits(self, **values: float) -> "Plate":
        return replace(self, hitter=replace(self.hitter, traits=self.hitter.traits.with_(**values)))

    def with_familiarity(self, familiarity: float) -> "Plate":
        return replace(self, hitter=replace(self.hitter, familiarity=familiarity))


def widened(bundle: Bundle, columns: int) -> Bundle:
    """The same mean pitch in several columns."""
    m = bundle.mean
    target = None if m.target is None else np.repeat(m.target, columns, axis=1)
    ones = np.ones(columns)
    mean = replace(
        m,
        levers=np.repeat(m.levers, columns, axis=1),
        target=target,
        seam=m.seam * ones,
        drag_scale=m.drag_scale * ones,
        lift_scale=m.lift_scale * ones,
    )
    return replace(bundle, mean=mean)


def swings(e: Encounter, throws: int = 400, model: HitterModel = observer, mirror: bool = False) -> Array:
    """Rows of the swing at the same throws every time; in a mirror if asked."""
    rng = np.random.default_rng(6)
    normals, noise = rng.standard_normal((9, throws)), rng.standard_normal((MEMORY + 6, throws))
    if mirror:
        normals[MIRRORED] *= -1.0
    return model.swing(model.ready(e), normals, noise[: MEMORY + 3 * (e.shares.size - 1)])


def contact(e: Encounter, throws: int = 400, model: HitterModel = observer) -> float:
    return float(swings(e, throws, model)[CONTACT].mean())


def a_pitch(mph: float, rate: float, clock: float, gyro: float, side: float = -2.0, scale: float = 1.0) -> Pitch:
    return Pitch(
        speed=mph * MPH,
        spin_rate=rate * RPM,
        break_clock=clock * DEGREE,
        gyro=gyro * DEGREE,
        release_side=side * FOOT,
        release_height=6.0 * FOOT,
        extension=6.2 * FOOT,
        aim=Target(0.0, 2.4 * FOOT),
        spread=Spread(scale * SPREAD),
    )


FASTBALL, SLIDER = a_pitch(92.0, 2300.0, 21.0, 18.0), a_pitch(84.0, 2450.0, 262.0, 60.0)
CHANGEUP, CURVE = a_pitch(84.0, 1800.0, 48.0, 26.0), a_pitch(79.0, 2550.0, 198.0, 48.0)


def usual(familiarity: float = 0.5, pitches: tuple[Pitch, ...] = (FASTBALL, SLIDER, CHANGEUP)) -> Plate:
    """A professional who faces a right-hander."""
    shares = [0.6, 0.25, 0.15] if len(pitches) == 3 else [0.6, 0.4]
    return Plate(list(pitches), shares, preset("professional", Eye(), 0.150, familiarity))


@st.composite
def plates(draw: st.DrawFn) -> Plate:
    """Any two or three types of any pitcher before any hitter."""
    number = draw(st.sampled_from([2, 3]))
    hand = draw(st.sampled_from(["right", "left"]))
    pitches = [
        Pitch(
            speed=draw(st.floats(60.0, 104.0)) * MPH,
            spin_rate=draw(st.floats(300.0, 3400.0)) * RPM,
            break_clock=draw(st.floats(0.0, 360.0)) * DEGREE,
            gyro=draw(st.floats(-85.0, 85.0)) * DEGREE,
            release_side=draw(st.floats(-3.0, 3.0)) * FOOT,
            release_height=draw(st.floats(4.0, 7.0)) * FOOT,
            extension=draw(st.floats(5.0, 7.0)) * FOOT,
            aim=Target(draw(st.floats(-1.0, 1.0)) * FOOT, draw(st.floats(1.2, 3.6)) * FOOT),
            spread=Spread(draw(st.floats(0.0, 2.0)) * SPREAD),
        )
        for _ in range(number)
    ]
    if draw(st.booleans()):
        pitches[-1] = pitches[0]  # two names of one pitch
    shares = [draw(st.sampled_from([0.0, 1e-12, 0.3, 1.0])) for _ in range(number)]
    shares[draw(st.integers(0, number - 1))] = 0.7
    eye = Eye(height=draw(st.floats(1.1, 1.8)), bats=draw(st.sampled_from(["right", "left"])))
    familiarity = draw(st.sampled_from([0.0, 0.3, 0.8, 1.0]))
    hitter = preset(draw(st.sampled_from(LEVELS)), eye, draw(st.floats(0.12, 0.2)), familiarity)
    return Plate(pitches, shares, hitter, hand)


def in_the_mirror(plate: Plate) -> Plate:
    def turned(pitch: Pitch) -> Pitch:
        assert isinstance(pitch.aim, Target)
        return replace(
            pitch,
            break_clock=-pitch.break_clock,
            gyro=-pitch.gyro,
            release_side=-pitch.release_side,
            aim=Target(-pitch.aim.side, pitch.aim.height),
        )

    bats = "left" if plate.hitter.eye.bats == "right" else "right"
    hitter = replace(plate.hitter, eye=replace(plate.hitter.eye, bats=bats))
    hand = "left" if plate.hand == "right" else "right"
    return Plate([turned(p) for p in plate.pitches], plate.shares, hitter, hand)


# --- laws of any plate ----------------------------------------------------------------------------------------------
@some
@given(plates())
def test_a_mirror_changes_nothing(plate: Plate) -> None:
    """Pitcher, hitter and throws in the mirror: contact and belief on the whole stay what they are, to 1e-6.

    Of a single throw a tie between two types may be decided otherwise by rounding, so means are compared.
    """
    here, there = swings(plate.meet(1)), swings(in_the_mirror(plate).meet(1), mirror=True)
    rows = [CONTACT, BELIEF, TIMING, VERTICAL]
    np.testing.assert_allclose(there[rows].mean(axis=1), here[rows].mean(axis=1), atol=1e-6)


@some
@given(plates())
def test_beliefs_are_shares_whatever_comes(plate: Plate) -> None:
    """Finite, and 1 together: for shares of 0, pitches alike, no scatter at all, known and unknown pitchers."""
    for thrown in range(len(plate.pitches)):
        e = plate.meet(thrown)
        ready = observer.ready(e)
        rng = np.random.default_rng(1)
        normals, noise = rng.standard_normal((9, 50)), rng.standard_normal((MEMORY + 3 * (e.shares.size - 1), 50))
        each = [swing(replace(ready, encounter=replace(e, thrown=h)), normals, noise) for h in range(e.shares.size)]
        assert np.isfinite(each).all()
        beliefs = np.array([rows[BELIEF] for rows in each])
        assert (beliefs >= 0.0).all()
        np.testing.assert_allclose(beliefs.sum(axis=0), 1.0, atol=1e-12)
        assert (np.array([rows[CONTACT] for rows in each]) >= 0.0).all()
        assert (np.array([rows[CONTACT] for rows in each]) <= 1.0 - e.traits.lapse[0] + 1e-12).all()


@some
@given(plates())
def test_columns_do_not_mix(plate: Plate) -> None:
    """Three sets of traits at once and one by one; to 1e-9 in what all is added up to."""
    own = plate.hitter.traits
    sets = [own, own.with_(evidence_efficiency=0.4, view_start=0.09), own.with_(pursuit_limit=2.0, timing_cutoff=0.23)]
    three = Traits(**{name: np.concatenate([getattr(t, name) for t in sets]) for name in TRAITS})
    together = swings(replace(plate, hitter=replace(plate.hitter, traits=three)).meet(1))
    for column, traits in enumerate(sets):
        alone = swings(replace(plate, hitter=replace(plate.hitter, traits=traits)).meet(1))
        found = together.reshape(len(alone), -1, 3)[:, :, column]
        np.testing.assert_allclose(found.mean(axis=1), alone.mean(axis=1), rtol=1e-9, atol=1e-9)


@some
@given(plates(), st.sampled_from(["timing_cutoff", "height_cutoff", "view_start"]), st.floats(-0.005, 0.005))
def test_a_small_change_of_a_time_changes_little(plate: Plate, name: str, shift: float) -> None:
    """10 us more or less: contact by 0.005 at most (a whole look more may change it by a tenth), wherever looks begin.

    A hitter who changes his mind makes a jump of one throw in 400, 0.0025; two of them are allowed.
    """
    start = float(getattr(plate.hitter.traits, name)[0]) + shift
    here, there = (contact(plate.with_traits(**{name: value}).meet(1)) for value in (start, start + 1e-5))
    assert abs(here - there) < 0.005


# --- laws of looks and noise ----------------------------------------------------------------------------------------
@pytest.mark.parametrize("thrown", [0, 1, 2])
@pytest.mark.parametrize("familiarity", [0.2, 0.8])
def test_looks_of_another_length_give_the_same_contact(
    thrown: int, familiarity: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Noise is a density: looks of 5 and of 10 ms, contact within 0.01, with the same draws."""
    ten = contact(usual(familiarity).meet(thrown), 4000)
    for module in (view_module, encounter_module, events_module):
        monkeypatch.setattr(module, "LOOK", 0.005)
    e = usual(familiarity).meet(thrown)
    assert e.looks[1] - e.looks[0] == pytest.approx(0.005)
    five = contact(e, 4000)
    assert five != ten
    assert abs(five - ten) < 0.01


@pytest.mark.parametrize(("start", "step"), [(0.0637, 0.061), (0.05, 0.08)])
def test_the_noise_factor_is_the_covariance_of_drawn_looks(start: float, step: float) -> None:
    """40,000 times the noise of looks, drawn in pieces between the cut-offs: 5 standard errors of each covariance.

    A look of which a cut-off sees the share w has the noise of a part w of its time: it grows as a random walk.
    """
    e = usual().with_traits(view_start=start).meet(1)
    cuts = (start + step * np.array([[0.61], [1.27], [2.03]])).reshape(3, 1)
    shares = [e.weights(cut)[0] for cut in cuts]
    rng = np.random.default_rng(9)
    draws = 40_000
    sd = np.sqrt(e.variance[0] / e.traits.evidence_efficiency[0])
    walk, logs, before = np.zeros((draws, sd.size)), [], np.zeros(sd.size)
    for c, share in enumerate(shares):
        walk += rng.standard_normal(walk.shape) * sd * np.sqrt(share - before)
        seen = walk / np.where(share > 0.0, share, 1.0)  # mean of what was seen of a look
        logs.append(seen @ evidence(e, cuts).rows[0, c].T)
        before = share
    drawn = np.concatenate(logs, axis=1)
    found = recognise(e, cuts).factor[0]
    expected = found @ found.T
    variances = np.diag(expected)
    error = np.sqrt((np.outer(variances, variances) + expected**2) / draws)
    assert (np.abs(np.cov(drawn.T) - expected) < 5.0 * error).all()


# --- laws of recognition --------------------------------------------------------------------------------------------
@pytest.mark.parametrize("share", [0.0, 0.2, 0.5, 0.9])
def test_what_looks_the_same_keeps_its_share(share: float) -> None:
    """Two names of one pitch, thoroughly known: belief stays at the prior on every throw."""
    plate = replace(usual(1.0, (SLIDER, SLIDER)), shares=[1.0 - share, share])
    np.testing.assert_allclose(swings(plate.meet(1))[BELIEF], share, atol=1e-9)


def median_recognition(plate: Plate, thrown: int, **traits: float) -> float:
    """Median over throws of the time of recognition, s; infinite where more than half are not recognised."""
    e = plate.with_traits(movement_error=0.0, direction_error=0.0, **traits).meet(thrown)
    normals = np.random.default_rng(1).standard_normal((9, 500))
    found, _ = moments(
        e, e.place, 0.037, normals, lambda looks: np.random.default_rng(2).standard_normal((3 * looks, 2, 500))
    )
    return float(np.median(np.where(found.reached, found.time, np.inf)))


@pytest.mark.parametrize("thrown", [1, 2])
@pytest.mark.parametrize("pitches", [(FASTBALL, SLIDER, CHANGEUP), (FASTBALL, CURVE, CHANGEUP)])
@pytest.mark.parametrize(
    ("name", "values"),
    [
        ("position_noise", [2e-5, 4e-5, 8e-5, 1.6e-4, 3.2e-4]),
        ("size_noise", [0.002, 0.008, 0.032]),
        ("evidence_efficiency", [0.5, 0.2, 0.06, 0.02, 0.007]),
        ("view_start", [0.02, 0.05, 0.08, 0.11, 0.14]),
    ],
)
def test_worse_sight_recognises_no_earlier(
    pitches: tuple[Pitch, ...], thrown: int, name: str, values: list[float]
) -> None:
    """Nothing misremembered (familiarity 1): more noise, less evidence or a later view never bring the median forward.

    The same draws for all; 3 ms are left for the median of 500 throws and for the line between two looks.
    """
    times = [median_recognition(usual(1.0, pitches), thrown, **{name: value}) for value in values]
    assert np.isfinite(times[0])
    for earlier, later in pairwise(times):
        assert later >= earlier - 0.003
    if name != "size_noise":  # a change of size tells little of the type
        assert times[-1] > times[0] + 0.005


@pytest.mark.parametrize("thrown", [0, 1, 2])
@pytest.mark.parametrize("familiarity", [0.3, 0.5, 0.7])
def test_to_an_ideal_observer_the_type_is_hardly_news(thrown: int, familiarity: float) -> None:
    """With F = 1 he tells nearly every type in time: an odds ratio of contact, type known to unknown, of 1 to 1.2.

    What is left are some 2 % of fastballs that still pass for a changeup 200 ms before they arrive: 0.01 of contact.
    With a tenth of the noise these are told too, and the ratio is 1 within 2 %.
    """
    ideal = usual(familiarity).with_traits(evidence_efficiency=1.0)
    assert 0.98 < odds_ratio(ideal, thrown) < 1.2
    keen = ideal.with_traits(position_noise=6e-6, size_noise=8e-4)
    assert odds_ratio(keen, thrown) == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize("familiarity", [0.3, 0.5, 0.7])
def test_the_more_evidence_is_used_the_less_the_type_is_news(familiarity: float) -> None:
    """Mean log odds ratio over the three pitches. Published for hitters who were told: 1.34 to 2.68 (read).

    Elmore and Matthews (2022). That the model meets it is another test's; here it falls with F.
    """
    means = [
        np.mean(np.log([odds_ratio(usual(familiarity).with_traits(evidence_efficiency=f), t) for t in range(3)]))
        for f in (0.03, 0.1, 0.3, 1.0)
    ]
    assert (np.diff(means) < 0.0).all()
    assert np.exp(means[0]) > 1.3


def odds_ratio(plate: Plate, thrown: int) -> float:
    known, unknown = (contact(plate.meet(thrown, known=known), 4000) for known in (True, False))
    return known / (1.0 - known) / (unknown / (1.0 - unknown))


# --- laws of the forecast -------------------------------------------------------------------------------------------
@pytest.mark.parametrize("thrown", [0, 1, 2])
def test_a_known_pitch_surprises_by_noise_and_scatter_alone(thrown: int) -> None:
    """Type known, familiarity 1: no bias, nothing misremembered, and an error close to the least that is possible.

    The least is that of the best linear forecast from the same looks for this very pitcher's scatter (Gauss-Markov).
    The hitter's error may not be below; above by at most 60 %, since he expects the scatter of all his pitchers, and
    knows nothing of spin and extension.
    """
    e = usual(1.0).meet(thrown, known=True)
    ready = observer.ready(e)
    offset, slope, sd = (array[0, 0] for array in (ready.forecast.offset, ready.forecast.slope, ready.forecast.sd))
    assert np.abs(offset / [1e-4, 1e-3, 1e-3]).max() < 1.0  # 0.1 ms, 1 mm
    assert (ready.forecast.memory == 0.0).all()
    error = np.sqrt((slope**2).sum(axis=1) + sd**2)
    for quantity, before in ((0, "timing_cutoff"), (1, "height_cutoff"), (2, "height_cutoff")):
        weight = e.weights(e.arrival[:, 0] - getattr(e.traits, before))[0]
        on = weight > 0.0
        s, a = e.scatter[0][on], e.arrival_scatter[0, quantity]
        information = s @ s.T + np.diag(e.variance[0, on] / weight[on])
        least = np.sqrt(a @ a - a @ s.T @ np.linalg.solve(information, s @ a))
        assert least * (1.0 - 1e-6) <= error[quantity] < 1.6 * least


def test_without_noise_and_scatter_nothing_surprises() -> None:
    """And so the ideal observer's bat meets the ball unless it lapses: contact within 1e-3 of 1 - lapse."""
    still = tuple(replace(p, spread=Spread()) for p in (FASTBALL, SLIDER, CHANGEUP))
    plate = usual(1.0, still).with_traits(
        position_noise=1e-8, size_noise=1e-6, motor_time=1e-4, motor_height=1e-4, lapse=0.03
    )
    for thrown in range(3):
        rows = swings(plate.meet(thrown, ideal_observer), model=ideal_observer)
        assert np.abs(rows[TIMING]).max() < 1e-4
        assert np.abs(rows[VERTICAL]).max() < 1e-3
        np.testing.assert_allclose(rows[CONTACT], 0.97, atol=1e-3)
