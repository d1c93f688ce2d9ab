"""A trial of a hitter model that another package brings: before any question, step by step, with what each step gives.

The shapes matter more than they seem to: the kernel of the swing reads what it is given without asking how long it is.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.pitch import LEVERS
from latebreak.engine.plug_ins import UnusableError, said
from latebreak.perception.encounter import Encounter
from latebreak.perception.eye import Eye
from latebreak.perception.forecast import Forecast
from latebreak.perception.hitter import TRAITS, Traits, preset
from latebreak.perception.model import HitterModel
from latebreak.perception.recognition import Recognition
from latebreak.perception.repertoire import REPERTOIRE, template, thrown
from latebreak.perception.swing import BELIEF, CLEAN, CONTACT, MEMORY, SWING, Readiness, cut_offs
from latebreak.perception.templates import Template

T = TypeVar("T")

_COLUMNS, _CUTS, _THROWS = 2, 3, 5
_JUDGED = "curve"


def trial(model: HitterModel) -> None:
    """Let a model face a curve, two sets of parameters side by side.

    Raises
    ------
    UnusableError
        A step fails, or gives something of another kind or shape, or something that is no number.
    """
    hitter = preset("professional", Eye(), 0.150)  # s; any commit point serves
    columns = np.zeros(_COLUMNS, np.int64)
    known = [template(thrown(name), one.share, one.role, 0.5, _COLUMNS) for name, one in REPERTOIRE.items()]
    pitch = thrown(_JUDGED)

    traits = _asked("traits", Traits, model.traits, hitter.traits.columns(columns))
    _checked("traits", {name: (getattr(traits, name), (_COLUMNS,)) for name in TRAITS})

    def imagined() -> tuple[list[Template], int]:
        types, own = model.imagine(known, tuple(REPERTOIRE).index(_JUDGED))
        return list(types), int(own)

    types, own = _asked("imagine", tuple, imagined)
    if not 0 <= own < len(types):
        raise UnusableError(f"its imagine gave the pitch number {own} of {len(types)} types")
    mean = template(pitch, 1.0, "breaking", 0.5, _COLUMNS).mean
    met = _asked("meet", Encounter, model.meet, mean, pitch.flight, pitch.factor, types, own, hitter, traits)
    h, cuts = len(types), cut_offs(met)

    seen = _asked("recognise", Recognition, model.recognise, met, cuts)
    noise = _CUTS * (h - 1)
    odds = (_COLUMNS, _CUTS, h - 1)
    _checked(
        "recognise",
        {
            "mean": (seen.mean, odds),
            "slope": (seen.slope, (*odds, len(LEVERS))),
            "factor": (seen.factor, (_COLUMNS, noise, noise)),
        },
    )
    ahead = _asked("foresee", Forecast, model.foresee, met, cuts[0], cuts[1])
    each = (_COLUMNS, h, 3)
    _checked(
        "foresee",
        {
            "offset": (ahead.offset, each),
            "slope": (ahead.slope, (*each, len(LEVERS))),
            "memory": (ahead.memory, (*each, MEMORY)),
            "sd": (ahead.sd, each),
        },
    )
    ready, draws = Readiness(met, seen, ahead, bool(model.weighted)), np.random.default_rng(1)
    normals, noises = (draws.standard_normal((rows, _THROWS)) for rows in (len(LEVERS), MEMORY + noise))
    swings = _asked("swing", np.ndarray, model.swing, ready, normals, noises)
    _checked("swing", {"array": (swings, (len(SWING), _THROWS * _COLUMNS))})
    chances = swings[[CONTACT, CLEAN, BELIEF]]
    if (chances < 0.0).any() or (chances > 1.0).any():
        raise UnusableError("its swing gave chances outside 0 to 1")


def _asked(part: str, kind: type[T], function: Callable[..., object], *arguments: object) -> T:
    try:
        with np.errstate(all="ignore"):  # the values are judged by the caller
            value = function(*arguments)
    except (Exception, SystemExit) as error:  # the code of a stranger: whatever it raises is its own fault
        raise UnusableError(f"its {part} failed with {said(error)}") from error
    if not isinstance(value, kind):
        raise UnusableError(f"its {part} gave {type(value).__name__} instead of {kind.__name__}")
    return value


def _checked(part: str, arrays: dict[str, tuple[NDArray[np.float64], tuple[int, ...]]]) -> None:
    for name, (value, shape) in arrays.items():
        if getattr(value, "dtype", None) != np.float64 or value.shape != shape:
            found = f"{getattr(value, 'dtype', type(value).__name__)} of shape {np.shape(value)}"
            raise UnusableError(f"the {name} of its {part} is {found} instead of float64 of shape {shape}")
        if not np.isfinite(value).all():
            raise UnusableError(f"the {name} of its {part} is not finite")
