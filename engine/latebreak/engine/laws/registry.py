"""Force laws by name: ours, and those that other packages bring.

A force law is a plain numpy function. A package registers one by an entry point in the group ``latebreak.force_laws``::

    [project.entry-points."latebreak.force_laws"]
    raised_seam_drag = "my_package.laws:raised_seam_drag"

The end of the entry point's name says what it is:

``..._lift``
    C_L(S), called with one array of spin parameters S >= 0.
``..._drag``
    C_D(v, S), called with two arrays of one shape: the speed v through the air in m/s, and S.

Both return an array of that shape. On S from 0 to 2 and v from 5 to 65 m/s every value must be a finite real number;
beyond, a law is not asked, and its value at the edge holds.
Laws of this package register in the same way, and their names are taken. What another package does wrong never stops
the rest: it is one message in `broken`, and the error of whoever asks for that law.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib.metadata import EntryPoint, entry_points
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.laws import drag as drag_laws
from latebreak.engine.laws import lift as lift_laws
from latebreak.engine.plug_ins import OURS, PlugInError, UnusableError, distribution, find, load_all, said

GROUP = "latebreak.force_laws"

Kind = Literal["lift", "drag"]
KINDS: tuple[Kind, ...] = ("lift", "drag")

#: S and v (m/s) on which laws are asked (chosen: 3,500 rpm at 15 mph has S = 2; no pitch is faster than 65 m/s).
SPIN_RANGE, SPEED_RANGE = (0.0, 2.0), (5.0, 65.0)


@dataclass(frozen=True)
class ForceLaw:
    """A registered force law.

    Attributes
    ----------
    name : str
        Name of its entry point.
    kind : {"lift", "drag"}
        C_L(S) or C_D(v, S).
    function : callable
        The law itself, from float64 arrays to a float64 array of the same shape.
    distribution : str
        Name of the installed distribution that registers it.
    """

    name: str
    kind: Kind
    function: Callable[..., NDArray[np.float64]]
    distribution: str


def force_law(name: str) -> ForceLaw:
    """Return the law of this name.

    Raises
    ------
    InputError
        No law of this name is registered, or the one that is can't be used.
    """
    return find("force law", name, *registered())


def names(kind: Kind) -> tuple[str, ...]:
    """Return the names of the usable laws of a kind, sorted."""
    return tuple(name for name, law in registered()[0].items() if law.kind == kind)


def broken() -> dict[str, str]:
    """Return a message for every registered name that something is wrong with.

    A name that is also in `names` is usable: another distribution wanted it too and was refused.
    """
    return dict(registered()[1])


@cache
def registered() -> tuple[dict[str, ForceLaw], dict[str, str]]:
    """Load every law once: the usable ones by name, sorted, and the messages by name."""
    own = (
        EntryPoint(name, f"{module.__name__}:{name}", GROUP)
        for module in (lift_laws, drag_laws)
        for name in module.__all__
    )
    return load_all("force law", entry_points(group=GROUP), own, _law)


def _law(entry: EntryPoint, function: object) -> ForceLaw:
    kind = next((kind for kind in KINDS if entry.name.endswith(f"_{kind}")), None)
    if kind is None:
        raise UnusableError("its name must end in _lift or _drag")
    if not callable(function):
        raise UnusableError(f"{entry.value!r} is not a function")
    _probe(function, kind)
    owner = distribution(entry)
    asked = function if owner == OURS else _guarded(function, f"force law {entry.name!r} of distribution {owner!r}")
    return ForceLaw(entry.name, kind, asked, owner)


def _guarded(function: Callable[..., object], what: str) -> Callable[..., NDArray[np.float64]]:
    """Hold every answer of a stranger's law against what was probed on a grid: a number between may be none."""

    def asked(*arguments: NDArray[np.float64]) -> NDArray[np.float64]:
        try:
            value = np.asarray(function(*arguments))
        except (Exception, SystemExit) as error:
            raise PlugInError(f"{what} failed with {said(error)}; mend or uninstall that package") from error
        shape = np.broadcast_shapes(*(np.shape(argument) for argument in arguments))
        good = value.shape == shape and value.dtype.kind in "fiu"
        if good and np.isfinite(value).all():
            return value.astype(np.float64)
        place = ""
        if good:
            first = np.argmin(np.isfinite(value).ravel())
            at = [float(np.broadcast_to(argument, shape).ravel()[first]) for argument in arguments]
            place = " at " + " and ".join(
                f"{name} = {number:.4g}"
                for name, number in zip(("S",) if len(at) == 1 else ("v", "S"), at, strict=True)
            )
        raise PlugInError(f"{what} gives no finite real number{place}; mend or uninstall that package")

    return asked


def _probe(function: Callable[..., object], kind: Kind) -> None:
    """Call a law on a grid of S (and v) over the whole range where it may be asked."""
    grid = np.meshgrid(np.linspace(*SPEED_RANGE, 13), np.linspace(*SPIN_RANGE, 41))
    speed, spin_parameter = grid[0].ravel(), grid[1].ravel()
    call, arguments = ("C_D(v, S)", (speed, spin_parameter)) if kind == "drag" else ("C_L(S)", (spin_parameter,))
    try:
        with np.errstate(all="ignore"):  # the values are judged below
            value = np.asarray(function(*arguments))
    except (Exception, SystemExit) as error:
        raise UnusableError(f"calling it as {call} with arrays failed with {said(error)}") from error
    if value.shape != spin_parameter.shape:
        raise UnusableError(f"{call} with arrays of shape {spin_parameter.shape} gave shape {value.shape}")
    if value.dtype.kind not in "fiu":
        raise UnusableError(f"{call} gave {value.dtype} values instead of real numbers")
    if not np.isfinite(value).all():
        where = "S from {:g} to {:g}".format(*SPIN_RANGE)
        where += " and v from {:g} to {:g} m/s".format(*SPEED_RANGE) if kind == "drag" else ""
        raise UnusableError(f"{call} is not finite everywhere on {where}")
