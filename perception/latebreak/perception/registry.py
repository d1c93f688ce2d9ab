"""Hitter models by name: ours, and those that other packages bring.

A package registers one by an entry point that names a `latebreak.perception.model.HitterModel`::

    [project.entry-points."latebreak.hitter_models"]
    patient_hitter = "my_package.hitters:patient_hitter"

It faces a pitch once when it is loaded. What another package does wrong never stops the rest: it is one message in
`broken`, and the error of whoever asks for that model.
"""

from __future__ import annotations

from functools import cache
from importlib.metadata import EntryPoint, entry_points

from latebreak.engine.plug_ins import OURS, UnusableError, distribution, find, load_all
from latebreak.perception import model
from latebreak.perception.model import HitterModel

GROUP = "latebreak.hitter_models"
DEFAULT = "one_glance"
_OURS = ("one_glance", "keen_eye", "speed_alone")


def hitter_model(name: str) -> HitterModel:
    """Return the model of this name.

    Raises
    ------
    InputError
        No model of this name is registered, or the one that is can't be used.
    """
    return find("hitter model", name, *_registered())


def names() -> tuple[str, ...]:
    """Return the names of the usable models, sorted."""
    return tuple(_registered()[0])


def broken() -> dict[str, str]:
    """Return a message for every registered name that something is wrong with."""
    return dict(_registered()[1])


@cache
def _registered() -> tuple[dict[str, HitterModel], dict[str, str]]:
    own = (EntryPoint(name, f"{model.__name__}:{name}", GROUP) for name in _OURS)
    return load_all("hitter model", entry_points(group=GROUP), own, _model)


def _model(entry: EntryPoint, loaded: object) -> HitterModel:
    if not isinstance(loaded, HitterModel):
        raise UnusableError(f"{entry.value!r} is not a HitterModel")
    if distribution(entry) != OURS:
        from latebreak.perception.trial import trial  # noqa: PLC0415 - flies pitches; only for a stranger's model

        trial(loaded)
    return loaded
