"""Which force laws and hitter models scenarios can name, who brings them, and what is wrong with any."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from functools import cache
from importlib.metadata import entry_points

from latebreak.engine.laws import registry as force_laws
from latebreak.engine.plug_ins import OURS
from latebreak.perception import registry as hitter_models
from latebreak.service.questions.answer import installed_version
from latebreak.service.wording import clean
from latebreak.v1 import what_if_pb2

_KINDS = (*(f"{kind}_law" for kind in force_laws.KINDS), "force_law", "hitter_model")


@cache
def models() -> what_if_pb2.ListModelsResponse:
    """List them by kind and name, usable or not; once, since plug-ins load at the start only.

    A registered law whose name tells neither lift nor drag has the kind "force_law", and a problem.
    """
    laws = [name for kind in force_laws.KINDS for name in force_laws.names(kind)]
    found = [
        *_registered(force_laws.GROUP, laws, force_laws.broken(), _kind_of_law),
        *_registered(hitter_models.GROUP, hitter_models.names(), hitter_models.broken(), lambda name: "hitter_model"),
    ]
    found.sort(key=lambda one: (_KINDS.index(one.kind), one.name, one.distribution))
    return what_if_pb2.ListModelsResponse(models=found)


def load_models() -> list[str]:
    """Load every plug-in now, not in the middle of a request; return what is wrong with any."""
    return list(dict.fromkeys(one.problem for one in models().models if one.problem))


def _registered(
    group: str, usable: Collection[str], broken: Mapping[str, str], kind_of: Callable[[str], str]
) -> Iterator[what_if_pb2.Model]:
    """One entry for every name and distribution that registers it; of rivals for a usable name ours is the usable."""
    entries = entry_points(group=group)
    for name in {*usable, *broken}:
        found = [(one.dist.name, one.dist.version) for one in entries.select(name=name) if one.dist is not None]
        owners = found or [(OURS, installed_version())]  # where latebreak runs without being installed
        for distribution, version in owners:
            chosen = name in usable and (len(owners) == 1 or distribution == OURS)
            yield what_if_pb2.Model(
                name=name,
                kind=kind_of(name),
                distribution=distribution,
                version=version,
                problem="" if chosen else clean(broken[name]),
            )


def _kind_of_law(name: str) -> str:
    return next((f"{kind}_law" for kind in force_laws.KINDS if name.endswith(f"_{kind}")), "force_law")
