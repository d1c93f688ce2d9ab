"""The swing against a Monte Carlo that looks at every throw, look by look, with true angles.

The model linearises what is seen about the mean path, and integrates what it can. Here nothing of that is done: the
ball of each throw is flown, its direction and its size in the eye are worked out exactly, every look gets its own
noise, and what is misremembered, the scatter of the swing and the lapse are drawn. Contacts are counted. What is left
in common with the model is the hitter himself: his templates, and the linear rules by which he weighs what he sees.

Source: the definitions of the model (computed). No published number enters.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.aim import MeanPitches
from latebreak.engine.ball import Conditions
from latebreak.engine.bundle import Bundle, prepare
from latebreak.engine.flight import Flight
from latebreak.engine.kernel import AT_TIME, AT_X, AT_Z, LIFT_SCALE, SEAM
from latebreak.engine.pitch import Pitch, Spread, Target
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import LEVELS, Hitter, preset
from latebreak.perception.kinds import Role
from latebreak.perception.model import observer
from latebreak.perception.swing import CONTACT, MEMORY
from latebreak.perception.templates import Template, remember

pytestmark = pytest.mark.slow

Array = NDArray[np.float64]

CONDITIONS = Conditions(air_density=1.19)
#: Medians within a game of professionals (own analysis of public tracked pitches; see the tests' `conftest`).
SPREAD = np.array(
    [1.05 * MPH, 81 * RPM, 5 * DEGREE, 5 * DEGREE, 1.2 * INCH, 0.77 * INCH, 1.3 * INCH, 0.87 * DEGREE, 0.74 * DEGREE]
)
LOOK = 0.010  # s
TOUCH = 0.070  # m, bat radius + ball radius
SCENES = 20
THROWS = 30_000
#: Throws that are held in memory at once.
BATCH = 10_000
#: Steps of the differences in the nine levers (m/s, rad/s, rad, m) and in the movement (share): paths are smooth.
STEPS = (0.1, 2.0, 0.01, 0.01, 0.01, 0.01, 0.01, 1e-3, 1e-3, 0.01)
MOVEMENT = 9
#: What a hitter updates by what he sees: speed, side, height, azimuth, elevation; and size and direction of movement.
THETA, EPS = [0, 4, 5, 8, 7], [MOVEMENT, 2]
#: What the model may be off by: a hundredth of contact is far below what anybody measures of a hitter.
CLOSE = 0.01
#: Scenes in which linear sight and flight alone cost more than that: model less count from 200,000 throws (computed,
#: standard error 0.001). The count is always the lower: weights that are right for the mean path are a little wrong
#: for a throw that comes elsewhere and faster. It is a matter of wide scatter: all of them have 1.18 to 1.48 times a
#: professional's. In the other scenes the largest is 0.009.
LINEARISED = {0: 0.011, 4: 0.010, 9: 0.017, 10: 0.019, 12: 0.013}


@dataclass
class Scene:
    """A pitch thrown to a hitter who has types in mind."""

    bundle: Bundle
    types: list[Template]
    thrown: int
    hitter: Hitter


def scene(seed: int) -> Scene:
    """A random scene: 2 or 3 types at 68 to 98 mph, any spin, either side, any level, any familiarity."""
    rng = np.random.default_rng(seed)
    right = rng.random() < 0.5
    mirror = 1.0 if right else -1.0
    clocks = {"fastball": (-10.0, 70.0), "breaking": (150.0, 280.0), "offspeed": (20.0, 80.0)}
    speeds = {"fastball": (84.0, 98.0), "breaking": (68.0, 88.0), "offspeed": (74.0, 90.0)}
    roles: list[Role] = ["fastball", "breaking", "offspeed"]
    if rng.random() < 0.5:
        roles.pop(rng.integers(1, 3))
    side, height, extension = rng.uniform([-3.0, 5.0, 5.5], [-1.0, 6.5, 7.0])
    pitches = [
        Pitch(
            speed=rng.uniform(*speeds[role]) * MPH,
            spin_rate=rng.uniform(1400.0, 2900.0) * RPM,
            break_clock=mirror * rng.uniform(*clocks[role]) * DEGREE,
            gyro=mirror * np.arccos(rng.uniform(0.35, 1.0)),
            release_side=mirror * (side + rng.normal(0.0, 0.1)) * FOOT,
            release_height=(height + rng.normal(0.0, 0.1)) * FOOT,
            extension=extension * FOOT,
            aim=Target(rng.uniform(-0.8, 0.8) * FOOT, rng.uniform(1.5, 3.3) * FOOT),
            spread=Spread(rng.uniform(0.6, 1.5) * SPREAD),
        )
        for role in roles
    ]
    bundles = [prepare(pitch, CONDITIONS) for pitch in pitches]
    level = LEVELS[rng.integers(len(LEVELS))]
    # the fitted traits are drawn here, so that a new fit does not change the scenes
    misremembered = rng.uniform(0.3, 0.8)
    hitter = preset(
        level,
        Eye(bats="right" if rng.random() < 0.5 else "left"),
        0.15,
        rng.random(),
        evidence_efficiency=float(np.exp(rng.uniform(np.log(0.02), np.log(0.16)))),
        movement_error=misremembered,
        direction_error=misremembered,
        motor_height=rng.uniform(0.010, 0.025),
    )
    shares = rng.dirichlet(np.full(len(roles), 3.0))
    hand = "right" if right else "left"
    types = [
        remember(role, share, b.mean, b.flight, CONDITIONS, level, role, hand, hitter.familiarity)
        for role, share, b in zip(roles, shares, bundles, strict=True)
    ]
    thrown = int(rng.integers(len(roles)))
    return Scene(bundles[thrown], types, thrown, hitter)


# --- what flies and what is seen ------------------------------------------------------------------------------------
def flown(releases: Array, flight: Flight, looks: Array) -> tuple[Array, Array, Array]:
    """Places and velocities at the looks, (n, K, 3) each, and time, height and side of the arrival, (n, 3)."""
    paths = flight.paths(releases, 8)
    states = np.moveaxis(paths.at(np.broadcast_to(looks[:, None], (looks.size, releases.shape[1]))), 2, 0)
    over = np.maximum(looks - paths.arrivals[AT_TIME, :, None], 0.0)[..., None]  # what has arrived goes straight on
    return states[..., :3] + over * states[..., 3:], states[..., 3:], paths.arrivals[[AT_TIME, AT_Z, AT_X]].T


def slopes(mean: MeanPitches, flight: Flight, looks: Array) -> tuple[Array, Array]:
    """Slopes in the nine levers and in the size of the movement: of the path (K, 3, 10), of the arrival (3, 10)."""

    def moved(which: int, step: float) -> tuple[Array, Array, Array]:
        levers = mean.levers.copy()
        if which != MOVEMENT:
            levers[which] += step
        releases = mean.releases(levers)
        if which == MOVEMENT:
            releases[[SEAM, LIFT_SCALE]] *= 1.0 + step
        return flown(releases, flight, looks)

    pairs = [(moved(which, step), moved(which, -step), 2.0 * step) for which, step in enumerate(STEPS)]
    path = [(more[0][0] - less[0][0]) / width for more, less, width in pairs]
    arrival = [(more[2][0] - less[2][0]) / width for more, less, width in pairs]
    return np.stack(path, axis=-1), np.stack(arrival, axis=-1)


def in_the_eye(places: Array, eye: Array) -> Array:
    """Azimuth, elevation and log size, exactly, of places (..., 3)."""
    x, y, z = np.moveaxis(places - eye, -1, 0)
    level = np.hypot(x, y)
    return np.stack([np.arctan2(x, y), np.arctan2(z, level), -np.log(np.hypot(level, z))], axis=-1)


def sight(place: Array, eye: Array) -> tuple[Array, Array]:
    """Scale of the azimuth at the looks, and what a small change of place (K, 3) changes in the eye: M (K, 3, 3)."""
    scale = np.ones_like(place)
    scale[:, 0] = np.cos(in_the_eye(place, eye)[:, 1])  # an angle to the right, not about the vertical
    step = 1e-5 * np.eye(3)
    columns = [(in_the_eye(place + h, eye) - in_the_eye(place - h, eye)) / 2e-5 for h in step]
    return scale, scale[..., None] * np.stack(columns, axis=-1)


# --- the hitter, look by look ---------------------------------------------------------------------------------------
def contacts(scene: Scene, normals: Array, rng: np.random.Generator) -> Array:
    """Whether bat meets ball, for throws of standard normal draws (9, n), with the same noise in two worlds: (2, n).

    First the true one. Then one in which sight and flight are linear in the draws, as the model has it.
    """
    bundle, types, hitter = scene.bundle, scene.types, scene.hitter
    traits = {name: float(value[0]) for name, value in vars(hitter.traits).items()}
    eye = hitter.eye.place
    unfamiliar = 1.0 - hitter.familiarity

    # looks up to the height cut-off, and the share of each that is seen by the timing and by the height cut-off
    mean = bundle.mean.releases()
    duration = float(bundle.flight.arrivals(mean)[AT_TIME, 0])
    cuts = [duration - traits["timing_cutoff"], duration - traits["height_cutoff"]]
    looks = np.arange(0.5 * LOOK, cuts[1] + LOOK, LOOK)
    begun = np.clip((looks - traits["view_start"]) / LOOK + 0.5, 0.0, 1.0)
    seen_share = [begun * np.clip((cut - looks) / LOOK + 0.5, 0.0, 1.0) for cut in cuts]

    # the mean path and the noise of a look on it
    nominal, velocity, _ = (part[0] for part in flown(mean, bundle.flight, looks))
    scale, m = sight(nominal, eye)
    omega = np.linalg.norm((m @ velocity[..., None])[:, :2, 0], axis=1)
    away = np.cumsum(np.maximum(0.0, omega - traits["pursuit_limit"]) * LOOK)
    growth = (1.0 + away / traits["eccentricity_scale"])[:, None]
    density = np.array([traits["position_noise"], traits["position_noise"], traits["size_noise"]])
    variance = ((density * growth) ** 2 / LOOK).ravel()  # R, 3K
    weights = [np.repeat(share, 3) for share in seen_share]

    # what the hitter has in mind
    speed = sum(t.share * t.mean.levers[0, 0] for t in types) / sum(t.share for t in types)
    prior = np.diag(
        [
            (speed * np.hypot(0.012, traits["speed_error"] * unfamiliar)) ** 2,
            traits["release_point_error"] ** 2,
            traits["release_point_error"] ** 2,
            traits["azimuth_error"] ** 2,
            traits["elevation_error"] ** 2,
        ]
    )
    mu, jacobian, expected, expected_slope, forgotten = [], [], [], [], []
    for t in types:
        place, _, arrival = flown(t.mean.releases(), t.flight, looks)
        path_slope, arrival_slope = slopes(t.mean, t.flight, looks)
        mu.append((m @ (place[0] - nominal)[..., None]).ravel())
        jacobian.append((m @ path_slope).reshape(-1, 10))
        expected.append(arrival[0])
        expected_slope.append(arrival_slope)
        own_movement = np.hypot(*arrival_slope[1:, MOVEMENT])  # m at the plate
        errors = np.array([traits["movement_error"], traits["direction_error"]])
        forgotten.append(errors * unfamiliar * t.usual_movement[0] / own_movement)

    mus, shares = np.array(mu), np.array([t.share for t in types])

    # how he weighs what he sees by either cut-off: for the odds of every type against the first, and for the forecasts
    inverse = np.linalg.inv(prior)
    j = np.mean([each[:, THETA] for each in jacobian], axis=0)
    for_odds, for_forecast = [], []
    for cut, weight in enumerate(weights):
        used = (traits["evidence_efficiency"] * weight / variance)[:, None]  # diagonal of W
        d = (mus - mus[0]).T
        # P D = W D - W J (C0^-1 + J'WJ)^-1 J'W D
        for_odds.append(used * d - used * j @ np.linalg.solve(inverse + j.T @ (used * j), j.T @ (used * d)))
        all_of_it = (weight / variance)[:, None]
        gains = []
        for h in range(len(types)):
            jh = jacobian[h][:, THETA]
            information = inverse + jh.T @ (all_of_it * jh)
            gains.append(all_of_it[:, 0] * (jh @ np.linalg.solve(information, expected_slope[h][cut, THETA])))
        for_forecast.append(np.stack(gains, axis=1))

    # the throws: what changes in the eye at the looks, and when and how high they arrive
    n = normals.shape[1]
    releases = bundle.releases(normals)
    place, _, arrived = flown(releases, bundle.flight, looks)
    seen = (scale * (in_the_eye(place, eye) - in_the_eye(nominal, eye))).reshape(n, -1)
    path_slope, arrival_slope = slopes(bundle.mean, bundle.flight, looks)
    levers = bundle.factor @ normals
    seen_linearly = ((m @ path_slope).reshape(-1, 10)[:, :9] @ levers).T
    arrived_linearly = flown(mean, bundle.flight, looks)[2] + (arrival_slope[:, :9] @ levers).T

    # the noise, drawn once for both worlds
    believed, watched = (
        looked(sd, weights, n, rng) for sd in (np.sqrt(variance / traits["evidence_efficiency"]), np.sqrt(variance))
    )
    misremembered = rng.standard_normal((n, 2))  # one for all types, as the model has it
    motor = np.array([[traits["motor_time"]], [traits["motor_height"]]]) * rng.standard_normal((2, n))
    awake = rng.random(n) >= traits["lapse"]

    contact = []
    for change, arrival in ((seen, arrived), (seen_linearly, arrived_linearly)):
        error = motor.copy()
        for cut in (0, 1):  # when, and how high
            a, k = for_odds[cut], for_forecast[cut]
            odds = (
                np.log(shares / shares[0]) + change @ a + believed[cut] @ a - ((mus[0] + mus) * a.T / 2.0).sum(axis=1)
            )
            forecast = np.array(expected)[:, cut] + change @ k + watched[cut] @ k - (mus * k.T).sum(axis=1)
            for h in range(len(types)):
                wrong = expected_slope[h][cut, EPS] - jacobian[h][:, EPS].T @ k[:, h]
                forecast[:, h] += misremembered @ (forgotten[h] * wrong)
            planned = odds.argmax(axis=1)
            error[cut] += arrival[:, cut] - np.take_along_axis(forecast, planned[:, None], axis=1)[:, 0]
        contact.append((np.abs(error[0]) < traits["timing_window"]) & (np.abs(error[1]) < TOUCH) & awake)
    return np.array(contact)


def looked(sd: Array, weights: list[Array], n: int, rng: np.random.Generator) -> list[Array]:
    """Noise of n throws' looks by either cut-off; a look of which the share w is seen has the variance sd^2 / w."""
    shape = (n, sd.size)
    first = np.sqrt(weights[0]) * rng.standard_normal(shape)
    rest = np.sqrt(weights[1] - weights[0]) * rng.standard_normal(shape)
    sums = [first, first + rest]
    return [sd * total / np.where(w > 0.0, w, 1.0) for total, w in zip(sums, weights, strict=True)]


@dataclass
class Contact:
    """Share of contact by the model, and counted in the true and in the linear world; standard errors of model less
    counted.
    """

    model: float
    counted: Array
    standard_error: Array


@cache
def contact(number: int, throws: int = THROWS) -> Contact:
    """Swing at the throws of a scene, with the same throws for the model and for the count."""
    this = scene(number)
    rng = np.random.default_rng([number, 1])
    encounter = observer.meet(
        this.bundle.mean, this.bundle.flight, this.bundle.factor, this.types, this.thrown, this.hitter,
        this.hitter.traits,
    )  # fmt: skip
    ready = observer.ready(encounter)
    rounds = []
    for _ in range(throws // BATCH):
        normals = rng.standard_normal((9, BATCH))
        noise = rng.standard_normal((MEMORY + 3 * (len(this.types) - 1), BATCH))
        rounds.append(np.vstack([observer.swing(ready, normals, noise)[CONTACT], contacts(this, normals, rng)]))
    model, *counted = np.concatenate(rounds, axis=1)
    difference = model - np.array(counted)
    return Contact(model.mean(), np.mean(counted, axis=1), difference.std(axis=1) / np.sqrt(throws))


@pytest.mark.parametrize("number", range(SCENES))
def test_what_is_integrated_agrees_with_what_is_drawn(number: int) -> None:
    """With sight and flight linear nothing is left to differ: half of 0.01, beside 3 standard errors (about 0.008).

    What is misremembered of a type puts time and height off together, and so do the looks that both rest on.
    """
    found = contact(number)
    assert abs(found.model - found.counted[1]) < 0.5 * CLOSE + 3.0 * found.standard_error[1]


@pytest.mark.parametrize("number", range(SCENES))
def test_contact_agrees_with_true_angles(number: int) -> None:
    """Contact within 0.01, beside 3 standard errors of the count (0.008), but for the scenes in `LINEARISED`."""
    found = contact(number)
    difference = found.model - found.counted[0] - LINEARISED.get(number, 0.0)
    assert abs(difference) < CLOSE + 3.0 * found.standard_error[0]
