"""What computes a sweep: latebreak, the libraries under its numbers, and every plug-in that the sweep uses."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.metadata import EntryPoint, PackageNotFoundError, entry_points, version

import numpy as np

from latebreak.engine.laws import registry as force_laws
from latebreak.engine.laws.registry import SPEED_RANGE, SPIN_RANGE, ForceLaw
from latebreak.engine.plug_ins import OURS, distribution
from latebreak.perception import registry as hitter_models

#: Versions by name: of a distribution, or of a plug-in as "force law scuffed_lift".
Software = Mapping[str, str]

#: Always there. Their versions may differ in the last digits.
LIBRARIES = ("latebreak", "numpy", "numba")
_LAW, _HITTER = "force law ", "hitter model "

#: Significant digits at which the values of a law are compared (chosen: above what machines differ in, far below what
#: anybody changes).
_DIGITS = 9


def software(laws: Iterable[str] = (), hitters: Iterable[str] = ()) -> dict[str, str]:
    """Return the versions of what computes a sweep here.

    Parameters
    ----------
    laws, hitters : iterable of str
        Names of the force laws and hitter models that are used. What latebreak brings itself goes by its own version;
        what is not installed is left out.
    """
    plug_ins = [
        *(_LAW + name for name in laws if _entry(force_laws.GROUP, name) is not None),
        *(_HITTER + name for name in hitters if _entry(hitter_models.GROUP, name) is not None),
    ]
    return here((*LIBRARIES, *sorted(set(plug_ins))))


def here(names: Iterable[str]) -> dict[str, str]:
    """Return the versions of named software on this machine; "none" where it is missing."""
    return {name: _version(name) for name in names}


def differences(wanted: Software, found: Mapping[str, object]) -> str:
    """Word in what software differs from that which is wanted; empty where it does not."""
    return ", ".join(
        f"{name} {found.get(name, 'none')} instead of {one}" for name, one in wanted.items() if found.get(name) != one
    )


@cache
def _version(name: str) -> str:
    for kind, group in ((_LAW, force_laws.GROUP), (_HITTER, hitter_models.GROUP)):
        if name.startswith(kind):
            entry = _entry(group, name.removeprefix(kind))
            return "none" if entry is None else _of_plug_in(entry)
    try:
        return version(name)
    except PackageNotFoundError:
        return "0" if name == OURS else "none"  # latebreak runs without being installed


def _of_plug_in(entry: EntryPoint) -> str:
    by = f"{distribution(entry)} {entry.dist.version if entry.dist else ''}"
    law = force_laws.registered()[0].get(entry.name) if entry.group == force_laws.GROUP else None
    return by if law is None else f"{by}, values {_digest(law)}"


def _digest(law: ForceLaw) -> str:
    """Digest of what a law says over the whole range that it is fitted on: a package may change it in one version."""
    speed, spin_parameter = (
        one.ravel() for one in np.meshgrid(np.linspace(*SPEED_RANGE, 13), np.linspace(*SPIN_RANGE, 41))
    )
    values = law.function(speed, spin_parameter) if law.kind == "drag" else law.function(spin_parameter)
    return hashlib.sha256(" ".join(f"{one:.{_DIGITS - 1}e}" for one in values).encode()).hexdigest()[:12]


def _entry(group: str, name: str) -> EntryPoint | None:
    """Return the entry point of a plug-in of another package."""
    return next((one for one in entry_points(group=group, name=name) if distribution(one) != OURS), None)
