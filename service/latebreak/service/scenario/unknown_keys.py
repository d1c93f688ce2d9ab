"""Keys that a scenario does not know, and the key that was probably meant."""

from __future__ import annotations

from latebreak.engine.errors import Fault
from latebreak.service.scenario.keys import Path
from latebreak.service.scenario.section import Section
from latebreak.service.wording import COMPARED_LENGTH, did_you_mean, key_path, shown


def unknown_key(path: Path, value: object, section: type[Section], model: type[Section]) -> Fault:
    """Word that a key is unknown.

    Parameters
    ----------
    path : tuple of str
        Path of the key.
    value : object
        What stands there.
    section, model : type of Section
        Kinds of the table that holds the key, and of the outermost table.
    """
    key, where = path[-1], key_path(*path)
    problem = f"unknown key with value {shown(value)}"
    same_stem = [known for known in section.keys() if _stem(known, section) == _stem(key, section)]  # noqa: SIM118
    if same_stem:
        allowed = " or ".join(same_stem)
        return Fault(where, problem, allowed, f"every unit stands in its key: did you mean {same_stem[0]}?")
    near = did_you_mean(key, section.keys())
    home = _home(key, model)
    remedy = near or (f"{key} belongs in {home}" if home else "remove it, or check the spelling")
    return Fault(where, problem, ", ".join(section.keys()), remedy)


def _stem(key: str, section: type[Section]) -> str:
    """Cut the unit off a key: release_side of release_side_ft, and of release_side_mm."""
    quantities = section.ranges()
    first = section.other_keys().get(key, key)
    if first in quantities:
        return first.removesuffix(quantities[first].unit.suffix)
    stems = {name.removesuffix(quantity.unit.suffix) for name, quantity in quantities.items()}
    candidates = (key, key.rpartition("_")[0]) if len(key) <= COMPARED_LENGTH else ()
    return next((stem for stem in candidates if stem in stems), key)


def _home(key: str, model: type[Section]) -> str:
    """Name the table in which a key is at home; empty where there is none."""
    homes = [("the top of the file", model)]
    homes += [(f"[{name}]", kind) for name, kind in model.subsections().items()]
    homes += [(f"[{name}.NAME]", kind) for name, kind in model.named_sections().items()]
    return next((name for name, kind in homes if kind.has(key)), "")
