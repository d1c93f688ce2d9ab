"""Answers as JSON can hold them, and back: one rule for all of them.

* An object is a table of its fields. One that is `OPTIONAL` is absent where it holds nothing: None, False or empty. One
  that is `LIFTED` puts its own keys into the table that it stands in. One that takes no part in comparisons is no part
  of the answer.
* A number that is not finite is null, and a null number not finite. Arrays and tuples are lists.
* What is told in another way than it is held has a method `parts` (a mapping) and a class method `of_parts`.

The serialisers of pydantic know no rule for absent parts beside nulls, nor lifted keys.
"""

from __future__ import annotations

from collections.abc import Mapping, Sized
from dataclasses import Field, fields, is_dataclass
from functools import cache
from math import isfinite, nan
from types import MappingProxyType
from typing import Any, get_args, get_origin, get_type_hints

import numpy as np

#: Metadata of a field that is absent where it holds nothing.
OPTIONAL = MappingProxyType({"optional": True})
#: Metadata of a field whose keys stand beside those of the object.
LIFTED = MappingProxyType({"lifted": True})


def plain(value: Any) -> Any:
    """Return an object as JSON can hold it."""
    if isinstance(value, float):
        return float(value) if isfinite(value) else None
    if isinstance(value, np.ndarray):
        return plain(value.tolist())
    if isinstance(value, Mapping):
        return {key: plain(one) for key, one in value.items()}
    if isinstance(value, tuple | list):
        return [plain(one) for one in value]
    return plain(_parts(value)) if is_dataclass(value) or hasattr(value, "parts") else value


def built(kind: Any, found: Any) -> Any:
    """Build an object of a type from what `plain` made of one.

    Parameters
    ----------
    kind : type
        A dataclass, a number, text, or a mapping, a tuple or an optional of such.
    found : object
        What JSON holds; None where there is nothing.

    Raises
    ------
    KeyError
        A part that is not optional is missing.
    """
    if kind is float:
        return nan if found is None else found
    if is_dataclass(kind) or hasattr(kind, "of_parts"):
        return _built(kind, found)
    origin, inner = get_origin(kind), get_args(kind)
    if type(None) in inner:
        return None if found is None else built(inner[0], found)
    if origin is tuple:
        return tuple(built(inner[0], one) for one in found)
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return {key: built(inner[1], one) for key, one in found.items()}
    return found


def _parts(value: Any) -> Mapping[str, Any]:
    if hasattr(value, "parts"):
        parts: Mapping[str, Any] = value.parts()
        return parts
    told: dict[str, Any] = {}
    for field, _ in _told(value.__class__):
        one = getattr(value, field.name)
        if field.metadata == LIFTED:
            told |= one if isinstance(one, Mapping) else _parts(one)
        elif field.metadata != OPTIONAL or not _is_nothing(one):
            told[field.name] = one
    return told


def _is_nothing(one: object) -> bool:
    return one is None or one is False or (isinstance(one, Sized) and len(one) == 0)


def _built(kind: Any, found: Mapping[str, Any]) -> Any:
    if hasattr(kind, "of_parts"):
        return kind.of_parts(found)
    own, values = {field.name for field, _ in _told(kind)}, {}
    for field, hint in _told(kind):
        if field.metadata == LIFTED:
            values[field.name] = built(hint, {key: one for key, one in found.items() if key not in own})
        elif field.name in found:
            values[field.name] = built(hint, found[field.name])
        elif hint is float or type(None) in get_args(hint):  # null and absent are one on the wire
            values[field.name] = built(hint, None)
        elif field.metadata != OPTIONAL:
            raise KeyError(f"{kind.__name__}.{field.name}")
    return kind(**values)


@cache
def _told(kind: Any) -> list[tuple[Field[Any], Any]]:
    """Fields that are part of an answer, with their types."""
    hints = get_type_hints(kind)
    return [(field, hints[field.name]) for field in fields(kind) if field.compare]
