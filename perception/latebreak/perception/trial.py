"""A trial of a hitter model that another package brings: before any question, part by part, with what each part gives.

The shapes matter more than they seem to: the kernels of one part read what another gave without asking how long it is.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import prepare
from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.kernel import AT_TIME
from latebreak.engine.pitch.pitch import LEVERS, Pitch, Spread, Target
from latebreak.engine.plug_ins import UnusableError, said
from latebreak.engine.units import DEGREE, FOOT, MPH, RPM
from latebreak.perception.forecast import FORECAST_ROWS
from latebreak.perception.model import HitterModel, Situation
from latebreak.perception.parameters import NAMES, Parameters, preset
from latebreak.perception.repertoire import remember
from latebreak.perception.seeing import GLANCE, NOISE
from latebreak.perception.timing import moment

T = TypeVar("T")
Array = NDArray[np.float64]

_COLUMNS, _THROWS = 2, 5
_SITUATIONS = (Situation(), Situation(bats="left", count=(1, 2)))
#: A fastball and a curve, chosen: speed (mph), spin rate (rpm), break clock and gyro (deg).
_PITCHES = {"fastball": (92.0, 2300.0, 20.0, 18.0), "curve": (79.0, 2550.0, 198.0, 40.0)}
#: Beliefs of a throw sum to 1 within this: rounding, and an exponential that is good to 1e-11.
_SUM = 1e-9


def trial(model: HitterModel) -> None:
    """Let a model face a curve, two sets of parameters side by side, over all counts and in one.

    Raises
    ------
    UnusableError
        A part fails, or gives something of another kind or shape, or something that is no number, or no chance.
    """
    level = preset("professional").columns(np.zeros(_COLUMNS, np.int64))
    p = _asked("parameters", Parameters, model.parameters, level)
    for name in NAMES:
        _finite(f"the {name} of its parameters", getattr(p, name), (_COLUMNS,))

    fastball, curve = (_thrown(*values, throws=1) for values in _PITCHES.values())
    types = remember(tuple(_PITCHES), [0.6, 0.4], [fastball, curve], p)
    paths = _thrown(*_PITCHES["curve"], throws=_THROWS)
    noise = np.random.default_rng(1).standard_normal((len(NOISE), _THROWS))
    times = moment(paths.arrivals[AT_TIME].reshape(_COLUMNS, _THROWS), types.ready_time, p)
    each = (_COLUMNS, _THROWS)
    for situation in _SITUATIONS:
        where = (situation.zone, situation.inside)
        glance = _array("see", (len(GLANCE), *each), model.see, paths, times, p, situation.same_side)
        belief = _chances("believe", (len(types.names), *each), model.believe, glance, types, p, noise)
        if (np.abs(belief.sum(axis=0) - 1.0) > _SUM).any():
            raise UnusableError("the beliefs of its believe do not sum to 1")
        forecast = _array("foresee", (FORECAST_ROWS, *each), model.foresee, glance, belief, types, p, noise)
        _chances("decide", each, model.decide, forecast, p, *where, situation.count)
        _chances("swing_at", (2, *each), model.swing_at, glance, forecast, p, *where, situation.same_side)


def _thrown(speed: float, rate: float, clock: float, gyro: float, throws: int) -> Paths:
    """Throws of a pitch, slower by a percent from one to the next, in each of the columns."""
    pitch = Pitch(
        speed * MPH, rate * RPM, clock * DEGREE, gyro * DEGREE, -2.0 * FOOT, 6.0 * FOOT, 6.0 * FOOT,
        Target(0.0, 2.2 * FOOT), spread=Spread(np.array([0.01 * speed * MPH, *np.zeros(len(LEVERS) - 1)])),
    )  # fmt: skip
    bundle = prepare(pitch, Conditions(air_density=1.2))
    slower = np.zeros((len(LEVERS), _COLUMNS * throws))
    slower[0] = -np.tile(np.arange(throws), _COLUMNS)
    return bundle.flight.paths(bundle.releases(slower))


def _asked(part: str, kind: type[T], function: Callable[..., object], *arguments: object) -> T:
    try:
        with np.errstate(all="ignore"):  # the values are judged by the caller
            value = function(*arguments)
    except (Exception, SystemExit) as error:  # the code of a stranger: whatever it raises is its own fault
        raise UnusableError(f"its {part} failed with {said(error)}") from error
    if not isinstance(value, kind):
        raise UnusableError(f"its {part} gave {type(value).__name__} instead of {kind.__name__}")
    return value


def _array(part: str, shape: tuple[int, ...], function: Callable[..., object], *arguments: object) -> Array:
    value: Array = _asked(part, np.ndarray, function, *arguments)
    _finite(f"the array of its {part}", value, shape)
    return value


def _chances(part: str, shape: tuple[int, ...], function: Callable[..., object], *arguments: object) -> Array:
    value = _array(part, shape, function, *arguments)
    if (value < 0.0).any() or (value > 1.0).any():
        raise UnusableError(f"its {part} gave chances outside 0 to 1")
    return value


def _finite(what: str, value: Array, shape: tuple[int, ...]) -> None:
    if getattr(value, "dtype", None) != np.float64 or value.shape != shape:
        found = f"{getattr(value, 'dtype', type(value).__name__)} of shape {np.shape(value)}"
        raise UnusableError(f"{what} is {found} instead of float64 of shape {shape}")
    if not np.isfinite(value).all():
        raise UnusableError(f"{what} is not finite")
