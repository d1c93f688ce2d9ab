"""Published experiments on hitters, asked of the model: traits in, the measured numbers out.

Every function takes m sets of traits side by side and answers with arrays of shape (m,), so that all trials of a fit
see the same throws and the same noise. Traits are a professional's; hitters stand on both sides.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.draws import LARGEST_BLOCK, Draws
from latebreak.engine.kernel import AT_X, AT_Z
from latebreak.engine.pitch import LEVERS
from latebreak.engine.units import DEGREE, FOOT, INCH, KMH, MPH
from latebreak.perception.encounter import Encounter
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import Traits
from latebreak.perception.model import observer, plain_extrapolator
from latebreak.perception.repertoire import CONDITIONS, REPERTOIRE, machine_fastball, meet, template, thrown
from latebreak.perception.sight import angular_speed
from latebreak.perception.swing import CLEAN_HEIGHT, CONTACT, MEMORY, TOUCH, within
from latebreak.perception.templates import Template
from latebreak.perception.view import HEIGHT_AT_PLATE, LOOK, SIDE_AT_PLATE, TIME

Array = NDArray[np.float64]

SIDES = ("right", "left")
SEED = 3
#: Of a professional hitter with the pitcher before him: the default, chosen.
FAMILIARITY = 0.5

# m, half the length of the sweet spot: 97 mm, Kidokoro and Yanai (2017), abstract (read).
_CLEAN_LENGTH = 0.0485
# m, motor SD along the bat: chosen, no published value was found.
_MOTOR_LENGTH = 0.050

# Strike zone for any part of the ball: plate 17 in wide (rule); 1.5 to 3.5 ft high, an adult's (chosen).
_ZONE_HALF_WIDTH = 8.5 * INCH + CONDITIONS.ball.radius
_ZONE_LOW, _ZONE_HIGH = 1.5 * FOOT - CONDITIONS.ball.radius, 3.5 * FOOT + CONDITIONS.ball.radius
# Ishigaki and Fukuda (1997): 120 km/h over 17 m, straight. They do not state where the pitches went: chosen so that
# half are strikes (locations normal about the middle of the zone, SD 0.26 m to the side and 0.30 m in height), and a
# guess is right half of the time.
_CALLED_SPEED, _CALLED_DISTANCE = 120.0 * KMH, 17.0
_CALLED_SCATTER = (1.02 * DEGREE, 0.87 * DEGREE)  # launch elevation, azimuth


@cache
def _random(seed: int, rows: int) -> tuple[Array, Array]:
    """Standard normal draws of the throws (9, n) and of the hitter (rows, n)."""
    throws = Draws(seed, 8 * LARGEST_BLOCK).normals(0)[: len(LEVERS)]
    return throws, np.random.default_rng(seed).standard_normal((rows, LARGEST_BLOCK))


def contact(traits: Traits, *, known: bool, seed: int = SEED) -> dict[str, Array]:
    """Chance of contact with each pitch of the repertoire.

    Parameters
    ----------
    traits : Traits
        m columns.
    known : bool
        Whether the hitter has been told the type; else he expects the shares of the repertoire.
    seed : int
        Of the throws and of the noise.
    """
    m = traits.lapse.size
    everything = [template(thrown(name), one.share, one.role, FAMILIARITY, m) for name, one in REPERTOIRE.items()]
    chances = {}
    for number, name in enumerate(REPERTOIRE):
        types, own = ([everything[number]], 0) if known else (everything, number)
        throws, noise = _random(seed, MEMORY + 3 * (len(types) - 1))
        met = [meet(thrown(name), types, own, traits, bats, FAMILIARITY) for bats in SIDES]
        swings = np.mean([observer.swing(observer.ready(each), throws, noise) for each in met], axis=0)
        chances[name] = swings[CONTACT].reshape(-1, m).mean(axis=0)
    return chances


def not_fastballs(chances: dict[str, Array]) -> Array:
    """Mean over the pitches that are not fastballs, by share."""
    names = [name for name, one in REPERTOIRE.items() if one.role != "fastball"]
    mean: Array = np.average(
        [chances[name] for name in names], axis=0, weights=[REPERTOIRE[name].share for name in names]
    )
    return mean


def odds_ratio(told: Array, untold: Array) -> Array:
    """Odds of contact with the type known over the odds without."""
    ratio: Array = told / (1.0 - told) * (1.0 - untold) / untold
    return ratio


def _known_machine(traits: Traits, *fastball: float) -> tuple[Encounter, Template]:
    """One type and familiarity 1. The machine is its own mirror image, so right-handed hitters do."""
    bundle = machine_fastball(*fastball)
    known = template(bundle, 1.0, "fastball", 1.0, traits.lapse.size)
    return meet(bundle, [known], 0, traits, "right", 1.0), known


def sweet_spot_and_timing(traits: Traits) -> tuple[Array, Array]:
    """Share of hits on the sweet spot, and SD of the timing (s): known machine fastball, 80 mph from 54 ft (chosen)."""
    sd = observer.ready(_known_machine(traits, 80.0 * MPH, 54.0 * FOOT)[0]).forecast.sd[:, 0]
    up = np.hypot(sd[:, HEIGHT_AT_PLATE], traits.motor_height)
    along = np.hypot(sd[:, SIDE_AT_PLATE], _MOTOR_LENGTH)
    on_the_spot = _inside(CLEAN_HEIGHT, up) * _inside(_CLEAN_LENGTH, along)
    return on_the_spot / _inside(TOUCH, up), np.hypot(sd[:, TIME], traits.motor_time)


def _inside(half_width: float, sd: Array) -> Array:
    return np.array([within(0.0, half_width, one) for one in sd])


def called_right(traits: Traits, share_seen: float, *, by_heading: bool = False) -> Array:
    """Share of strike or ball calls that are right after a share of the flight has been seen.

    Parameters
    ----------
    traits : Traits
        m columns.
    share_seen : float
        Of the flight time, 0 to 1.
    by_heading : bool
        Whether the ball is thought to fly on as it is seen to fly, by gravity and drag alone, with no expectation of
        speed, heading or spin.
    """
    fastball = (_CALLED_SPEED, _CALLED_DISTANCE, *_CALLED_SCATTER)
    encounter, known = _known_machine(traits, *fastball)
    if by_heading:
        types, own = plain_extrapolator.imagine([known], 0)
        encounter = meet(machine_fastball(*fastball), types, own, plain_extrapolator.traits(traits), "right", 1.0)
    cut = share_seen * encounter.arrival[:, TIME]
    forecast = observer.foresee(encounter, cut, cut)
    throws, noise = _random(SEED, 2)
    place = [HEIGHT_AT_PLATE, SIDE_AT_PLATE]
    arrival = encounter.arrival[:, place, None] + encounter.arrival_scatter[:, place] @ throws  # (m, 2, n)
    error = forecast.offset[:, 0, place, None] + forecast.slope[:, 0, place] @ throws
    error += forecast.sd[:, 0, place, None] * noise
    right: Array = (_strike(arrival) == _strike(arrival - error)).mean(axis=-1)
    return right


def _strike(arrival: Array) -> NDArray[np.bool_]:
    """Whether arrivals, (m, 2, n) height and side, are in the strike zone."""
    height, side = arrival[:, 0], arrival[:, 1]
    strike: NDArray[np.bool_] = (np.abs(side) < _ZONE_HALF_WIDTH) & (height > _ZONE_LOW) & (height < _ZONE_HIGH)
    return strike


def share_of_strikes() -> float:
    """Of the pitches that are to be called."""
    bundle = machine_fastball(_CALLED_SPEED, _CALLED_DISTANCE, *_CALLED_SCATTER)
    places = bundle.flight.arrivals(bundle.releases(_random(SEED, 2)[0]))
    return float(_strike(np.stack([places[AT_Z], places[AT_X]])[None]).mean())


def gaze_leaves(traits: Traits, speed: float) -> Array:
    """Time before arrival (s) at which the line of sight of a machine fastball, m/s, outruns the gaze."""
    encounter, _ = _known_machine(traits, speed, 54.0 * FOOT)
    omega = angular_speed(encounter.place, encounter.velocity, Eye().place)
    limit = traits.pursuit_limit
    first = np.argmax(omega > limit[:, None], axis=1)  # look at which eccentricity begins to grow
    row = np.arange(limit.size)
    part = (limit - omega[row, first - 1]) / (omega[row, first] - omega[row, first - 1])
    leaves: Array = encounter.arrival[:, TIME] - encounter.looks[first] + (1.0 - part) * LOOK
    return leaves
