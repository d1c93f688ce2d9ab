"""Hitter models: the parts in their places, and what the built-in alternatives do."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.aim import GYRO, SPIN_RATE
from latebreak.perception.calibration import professional
from latebreak.perception.encounter import Encounter
from latebreak.perception.encounter import meet as meet_with
from latebreak.perception.eye import Eye
from latebreak.perception.forecast import Forecast, foresee
from latebreak.perception.hitter import TRAITS, Hitter
from latebreak.perception.model import (
    HitterModel,
    belief_weighted,
    ideal_observer,
    observer,
    plain_extrapolator,
)
from latebreak.perception.recognition import Recognition, recognise
from latebreak.perception.repertoire import REPERTOIRE, template, thrown
from latebreak.perception.swing import BELIEF, CONTACT, MEMORY, SIDE, TIMING, VERTICAL, cut_offs
from latebreak.perception.templates import Template

Array = NDArray[np.float64]
NAMES = tuple(REPERTOIRE)
THROWS = 4000
#: Three standard errors of a contact chance over so many throws: its scatter from throw to throw is at most a half.
THREE_ERRORS = 3 * 0.5 / np.sqrt(THROWS)


def types_of(familiarity: float) -> list[Template]:
    return [template(thrown(n), one.share, one.role, familiarity, 1) for n, one in REPERTOIRE.items()]


def swings(model: HitterModel, name: str, familiarity: float = 0.5) -> Array:
    """Rows of the swing at throws of a pitch of the repertoire, by a right-handed professional."""
    types, own = model.imagine(types_of(familiarity), NAMES.index(name))
    hitter = Hitter(Eye(), "professional", professional(), familiarity, 0.150)
    bundle = thrown(name)
    met = model.meet(bundle.mean, bundle.flight, bundle.factor, types, own, hitter, model.traits(hitter.traits))
    rng = np.random.default_rng(8)
    normals, noise = rng.standard_normal((9, THROWS)), rng.standard_normal((MEMORY + 3 * (len(types) - 1), THROWS))
    return model.swing(model.ready(met), normals, noise)


def contact(model: HitterModel, name: str, familiarity: float = 0.5) -> float:
    return float(swings(model, name, familiarity)[CONTACT].mean())


@pytest.mark.parametrize("familiarity", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("name", NAMES)
def test_the_ideal_observer_misses_no_more_than_the_default(name: str, familiarity: float) -> None:
    assert contact(ideal_observer, name, familiarity) > contact(observer, name, familiarity) - THREE_ERRORS


def test_the_ideal_observer_uses_everything_and_forgets_nothing() -> None:
    traits = professional()
    ideal = ideal_observer.traits(traits)
    assert (ideal.evidence_efficiency[0], ideal.movement_error[0], ideal.direction_error[0]) == (1.0, 0.0, 0.0)
    others = set(TRAITS) - {"evidence_efficiency", "movement_error", "direction_error"}
    assert all(getattr(ideal, name)[0] == getattr(traits, name)[0] for name in others)


@pytest.mark.parametrize("name", ["curve", "changeup", "fastball"])
def test_who_knows_no_spin_misses_what_moves_much(name: str) -> None:
    """15 in of induced break and more, of which a heading and gravity show little: hardly ever a contact."""
    assert contact(plain_extrapolator, name) < contact(observer, name) - 0.4


def test_the_extrapolator_is_above_the_curve_and_below_the_fastball() -> None:
    """Actual less forecast: the curve drops below the line of gravity, the fastball stays above it, by over 15 cm."""
    assert swings(plain_extrapolator, "curve")[VERTICAL].mean() < -0.15
    assert swings(plain_extrapolator, "fastball")[VERTICAL].mean() > 0.15


def test_the_extrapolator_has_one_spinless_ball_in_mind() -> None:
    types = types_of(0.5)
    imagined, own = plain_extrapolator.imagine(types, 1)
    assert (len(imagined), own) == (1, 0)
    levers = imagined[0].mean.levers
    assert levers[SPIN_RATE, 0] == levers[GYRO, 0] == 0.0
    assert imagined[0].mean.seam[0] == 0.0
    keep = [i for i in range(9) if i not in {SPIN_RATE, GYRO}]
    np.testing.assert_array_equal(levers[keep], types[1].mean.levers[keep])
    assert types[1].mean.levers[SPIN_RATE, 0] > 100.0  # the template itself is left alone
    assert (swings(plain_extrapolator, "slider")[BELIEF] == 1.0).all()


def test_the_extrapolator_expects_nothing() -> None:
    """SDs of C0 far beyond any pitcher: half the speed and more, 30 cm of release, 0.1 rad of launch."""
    types, own = plain_extrapolator.imagine(types_of(0.0), 0)
    hitter = Hitter(Eye(), "professional", professional(), 0.0, 0.150)
    bundle = thrown("fastball")
    traits = plain_extrapolator.traits(hitter.traits)
    met = plain_extrapolator.meet(bundle.mean, bundle.flight, bundle.factor, types, own, hitter, traits)
    speed = bundle.mean.levers[0, 0]
    assert (np.sqrt(np.diag(met.prior[0])) > [0.5 * speed, 0.3, 0.3, 0.1, 0.1]).all()
    assert (met.memory == 0.0).all()


@pytest.mark.parametrize("familiarity", [0.5, 1.0])
def test_the_extrapolator_knows_no_pitcher(familiarity: float) -> None:
    """He expects nothing of speed or release, so how well the pitcher was scouted is nothing to him: 1 mm, 0.1 ms."""
    unscouted, scouted = (swings(plain_extrapolator, "slider", f) for f in (0.0, familiarity))
    np.testing.assert_allclose(
        scouted[[VERTICAL, SIDE]].mean(axis=1), unscouted[[VERTICAL, SIDE]].mean(axis=1), atol=1e-3
    )
    np.testing.assert_allclose(scouted[TIMING].std(), unscouted[TIMING].std(), atol=1e-4)


@pytest.mark.parametrize("name", NAMES)
def test_the_belief_weighted_plan_is_close_to_the_default(name: str) -> None:
    """The data do not tell them apart: within 0.03 of contact, in pairs of the same throws."""
    assert abs(contact(belief_weighted, name) - contact(observer, name)) < 0.03


def test_the_plan_is_all_that_a_belief_weighted_hitter_changes() -> None:
    assert belief_weighted == replace(observer, weighted=True)
    sure, weighted = swings(observer, "curve"), swings(belief_weighted, "curve")
    np.testing.assert_array_equal(weighted[BELIEF], sure[BELIEF])
    assert not np.array_equal(weighted[TIMING], sure[TIMING])


def test_every_part_is_called_with_what_it_is_for() -> None:
    """A hitter whose parts note what they are given: recognition all three cut-offs, forecast the first two."""
    calls: dict[str, tuple[Array, ...]] = {}

    def note_recognise(encounter: Encounter, cuts: Array) -> Recognition:
        calls["recognise"] = (cuts,)
        return recognise(encounter, cuts)

    def note_foresee(encounter: Encounter, timing: Array, height: Array) -> Forecast:
        calls["foresee"] = (timing, height)
        return foresee(encounter, timing, height)

    def only_his(types: Sequence[Template], own: int) -> tuple[Sequence[Template], int]:
        return [types[own]], 0

    model = HitterModel(recognise=note_recognise, foresee=note_foresee, imagine=only_his)
    types, own = model.imagine(types_of(0.5), 2)
    assert [one.name for one in types] == [types_of(0.5)[2].name]
    hitter = Hitter(Eye(), "professional", professional(), 0.5, 0.150)
    bundle = thrown("slider")
    met = meet_with(bundle.mean, bundle.flight, bundle.factor, types, own, hitter, hitter.traits)
    ready = model.ready(met)
    cuts = cut_offs(met)
    np.testing.assert_array_equal(calls["recognise"][0], cuts)
    np.testing.assert_array_equal(calls["foresee"], cuts[:2])
    assert ready.encounter is met
    assert not ready.weighted
