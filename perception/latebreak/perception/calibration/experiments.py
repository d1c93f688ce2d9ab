"""Published experiments on hitters, asked of the model.

In three of them a machine throws one straight fastball, and who stands before it knows it, movement and all. Those who
took part were skilled amateurs or grown-ups of other skills; the model answers for the level whose parameters it gets.
"""

from __future__ import annotations

from functools import cache
from statistics import NormalDist

import numpy as np

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.flight.flying import PLATE_FRONT
from latebreak.engine.flight.kernel import AT_TIME, AT_X, AT_Z
from latebreak.engine.pitch.pitch import Pitch, Spread, Target
from latebreak.engine.units import DEGREE, FOOT, INCH, KMH, MILLISECOND, MPH, RPM
from latebreak.perception.bat import CLEAN, CONTACT, REACH, TOUCH, heights_below
from latebreak.perception.calibration.cells import SIDES, ZONE, Cell, Rates, draws, flown, judged, rates, together
from latebreak.perception.calibration.league import weighted
from latebreak.perception.calibration.typical import TYPICAL, bundle
from latebreak.perception.decision import BALL_RADIUS
from latebreak.perception.forecast import FORECAST_Z, LOOKS_X, LOOKS_Z, TIME_TO_GO
from latebreak.perception.model import HitterModel, Judgement, Situation, one_glance
from latebreak.perception.parameters import Parameters
from latebreak.perception.repertoire import Types, remember
from latebreak.perception.seeing import ARRIVAL_Z, REMAINING

#: Kinds whose contact heights were looked at.
PULLED = ("four_seam", "slider", "curve", "changeup")
_THROWS = 4096
_ABROAD = Situation("left", "right", ZONE)
# m: half the length of the sweet spot, 97 mm: Kidokoro and Yanai (2017), abstract (read).
_SWEET_LENGTH = 0.0485
# m: motor SD along the bat (chosen; no published value was found).
_ALONG_SD = 0.050
# Ishigaki and Fukuda (1997): 120 km/h over 17 m. Where the pitches went is not stated: chosen so that half are strikes
# and a guess is right half of the time. Kidokoro and Yanai (2017) do not state speed and distance: chosen.
_CALLED = (120.0 * KMH, 17.0, 1.02 * DEGREE, 0.87 * DEGREE)
_HIT = (80.0 * MPH, 54.0 * FOOT, 0.3 * DEGREE, 0.3 * DEGREE)
# mph: Gray (2002), read: 70 and 85; at random: evenly in between (chosen).
_TWO_SPEEDS = (85.0, 70.0)
_RANDOM_SPEEDS = (70.0, 73.75, 77.5, 81.25, 85.0)


@cache
def machine(speed: float, distance: float, elevation_sd: float, azimuth_sd: float) -> Bundle:
    """Prepare a machine's straight fastball: 2,000 rpm of clean backspin (chosen), no scatter but that of its launch.

    Parameters
    ----------
    speed, distance : float
        m/s; m to the front of the plate.
    elevation_sd, azimuth_sd : float
        Of its launch, rad.
    """
    extension = 6.0 * FOOT
    conditions = Conditions(air_density=1.2, rubber_to_plate=distance + extension + PLATE_FRONT)
    spread = Spread(np.array([*np.zeros(7), elevation_sd, azimuth_sd]))
    aim = Target(0.0, ZONE.middle)
    return prepare(Pitch(speed, 2000.0 * RPM, 0.0, 0.0, 0.0, 5.5 * FOOT, extension, aim, spread=spread), conditions)


def share_of_strikes() -> float:
    """Of the pitches that are to be called."""
    thrown = machine(*_CALLED)
    places = thrown.flight.arrivals(thrown.releases(draws(1, _THROWS)[0]))
    return float(ZONE.holds(places[AT_X], places[AT_Z]).mean())


def figures(parameters: Parameters, model: HitterModel = one_glance) -> dict[str, float]:
    """All figures of the experiments, by the names under which `published` lists them.

    Parameters
    ----------
    parameters : Parameters
        One column, of a hitter with familiarity 0.5.
    model : HitterModel
        Whose.
    """
    full = _called_right(parameters, model, 1.0)
    spot, timing = _machine_fastball(parameters, model)
    all_kinds = _misses(parameters, model)
    curve = rates(Cell("curve"), parameters.with_(memory_error=0.0), model).misses()
    first_look, scouted = (parameters.with_(memory_error=factor * parameters.memory_error) for factor in (2.0, 0.0))
    return {
        "sweet_spot": spot,
        "timing": timing,
        "called_after_a_third": _called_right(parameters, model, 1.0 / 3.0),
        "called_after_four_fifths": _called_right(parameters, model, 0.8) / full,
        "taken_for_slower": _taken_for_slower(parameters, model),
        "random_speeds": _random_speeds(parameters, model),
        "later_view": _misses(parameters.with_(view_start=parameters.view_start + 0.1), model) - all_kinds,
        "familiarity": _misses(first_look, model) - _misses(scouted, model),
        "familiar_curve": curve,
        **{f"pull_{kind}": _pull(Cell(kind), parameters, model) for kind in PULLED},
    }


def _misses(parameters: Parameters, model: HitterModel) -> float:
    """Over all kinds of the league."""
    return weighted({kind: rates(Cell(kind), parameters, model) for kind in TYPICAL}).misses()


def _known(thrown: Bundle, parameters: Parameters) -> Types:
    """Return one type in mind, with no error of memory."""
    path = thrown.flight.paths(thrown.mean.releases())
    return remember(["fastball"], [1.0], [path], parameters)


def _face(thrown: Bundle, types: Types, parameters: Parameters, model: HitterModel) -> Judgement:
    own, hitter = draws(1, _THROWS)
    return model.judge(thrown.flight.paths(thrown.releases(own)), types, parameters, _ABROAD, hitter)


def _machine_fastball(parameters: Parameters, model: HitterModel) -> tuple[float, float]:
    """Share of hits on the sweet spot (%), whose length the bat meets independently; and SD of the timing (ms)."""
    thrown, p = machine(*_HIT), parameters.with_(memory_error=0.0)
    types = _known(thrown, model.parameters(p))
    late = _face(thrown, types, p, model)
    timing = float(np.hypot(np.std(late.glance[REMAINING, 0] - late.forecast[TIME_TO_GO, 0]), p.motor_time[0]))
    hits = _face(thrown, types, p.with_(motor_time=1e-6), model)  # a swing whose timing is right
    across = np.average(hits.contact[CLEAN, 0], weights=hits.swing[0]) / np.average(
        hits.contact[CONTACT, 0], weights=hits.swing[0]
    )
    along = NormalDist(0.0, _ALONG_SD)
    met = (along.cdf(_SWEET_LENGTH) - 0.5) / (along.cdf(REACH) - 0.5)
    return 100.0 * float(across) * met, timing / MILLISECOND


def _called_right(parameters: Parameters, model: HitterModel, share_seen: float) -> float:
    """Percent of strike calls that are right after a share of the flight: strike where the ball looks like one."""
    thrown, p = machine(*_CALLED), model.parameters(parameters.with_(memory_error=0.0))
    own, hitter = draws(1, _THROWS)
    paths = thrown.flight.paths(thrown.releases(own))
    types = _known(thrown, p)
    glance = model.see(paths, share_seen * paths.arrivals[None, AT_TIME], p, False)
    forecast = model.foresee(glance, model.believe(glance, types, p, hitter), types, p, hitter)
    called = ZONE.holds(forecast[LOOKS_X, 0], forecast[LOOKS_Z, 0])
    return 100.0 * float((called == ZONE.holds(paths.arrivals[AT_X], paths.arrivals[AT_Z])).mean())


def _taken_for_slower(parameters: Parameters, model: HitterModel) -> float:
    """How far a 95 mph four-seam arrives above what is forecast by one who expects 90, in."""
    types = _known(bundle("four_seam", 90.0), model.parameters(parameters))
    faced = _face(bundle("four_seam", 95.0), types, parameters, model)
    return float((faced.glance[ARRIVAL_Z, 0] - faced.forecast[FORECAST_Z, 0]).mean()) / INCH


def _random_speeds(parameters: Parameters, model: HitterModel) -> float:
    """Points by which two speeds are missed more where he expects any in between than where he expects these two."""
    logs = np.log(_RANDOM_SPEEDS)
    mph = [*_TWO_SPEEDS, float(np.exp(logs.mean()))]
    bundles = [bundle("four_seam", speed) for speed in mph]
    paths = [each.flight.paths(each.mean.releases()) for each in bundles]
    names = ("fast", "slow", "any")
    two = remember(names, [0.5, 0.5, 0.0], paths, model.parameters(parameters))
    two_speeds = together([_rates(_face(each, two, parameters, model)) for each in bundles[:2]])
    p = parameters.with_(speed_scatter=np.hypot(parameters.speed_scatter, logs.std()))
    one = remember(names, [0.0, 0.0, 1.0], paths, model.parameters(p))  # ready for the fastest, as before
    at_random = together([_rates(_face(each, one, p, model)) for each in bundles[:2]])
    return at_random.misses() - two_speeds.misses()


def _rates(faced: Judgement) -> Rates:
    swing = faced.swing[0]
    return Rates(np.ones_like(swing), swing, swing * faced.contact[CONTACT, 0])


def _pull(cell: Cell, parameters: Parameters, model: HitterModel) -> float:
    """Weight of the height expected of a kind in the height at which it is met.

    The slope of (point met - ball) over (expected - ball) among contacts. The bat's height is normal, cut off at what
    touches the ball; the point of the ball that it meets is a ball's radius from its middle on the line of centres.
    """
    thrown = flown(cell)
    expected = float(thrown.means[thrown.names.index(cell.kind)].arrivals[AT_Z, 0])
    standard = np.vectorize(NormalDist().cdf), np.vectorize(NormalDist().pdf)
    off, above, weight = [], [], []
    p = model.parameters(parameters)
    for bats, faced in zip(SIDES, judged(cell, parameters, model), strict=True):
        here = Situation(bats, "right", ZONE)
        below, sd = heights_below(faced.glance, faced.forecast, p, ZONE, here.inside, here.same_side)[:, 0]
        low, high = (-TOUCH - below) / sd, (TOUCH - below) / sd
        touching = standard[0](high) - standard[0](low)
        met_below = below + sd * (standard[1](low) - standard[1](high)) / np.maximum(touching, 1e-12)
        off.append(-met_below * BALL_RADIUS / TOUCH)
        above.append(expected - faced.glance[ARRIVAL_Z, 0])
        weight.append(faced.swing[0] * faced.contact[CONTACT, 0])
    return float(np.polyfit(np.concatenate(above), np.concatenate(off), 1, w=np.sqrt(np.concatenate(weight)))[0])
