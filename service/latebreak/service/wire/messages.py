"""Between protobuf messages and plain mappings: the fields of a message are the keys of a mapping.

A map has no order on the wire; where the order matters a field `NAME_order` beside the map `NAME` keeps it. A message
that holds nothing but a map `by_key` in its order stands for the map, one that holds nothing but a list `items` for the
list.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from google.protobuf.descriptor import FieldDescriptor
from google.protobuf.message import Message

_ORDER = "_order"
#: The fields of a message that stands for what it holds.
_STANDS = (["by_key", "by_key_order"], ["items"])


def fill(message: Message, mapping: Any) -> None:
    """Put a mapping into a message.

    Parameters
    ----------
    message : Message
        Empty.
    mapping : mapping
        Nested tables, lists, numbers and text; None is left unset. A list where the message stands for one.

    Raises
    ------
    KeyError
        If the message has no such field: then the two are out of step.
    """
    fields = message.DESCRIPTOR.fields_by_name
    if list(fields) in _STANDS:
        mapping = {next(iter(fields)): mapping}
    for key, value in mapping.items():
        field = fields[key]
        if value is None:
            continue
        if _is_map(field):
            _fill_map(message, field, value)
        elif field.is_repeated and field.message_type is not None:
            for entry in value:
                fill(getattr(message, key).add(), entry)
        elif field.is_repeated:
            getattr(message, key).extend(value)
        elif field.message_type is not None:
            getattr(message, key).SetInParent()
            fill(getattr(message, key), value)
        else:
            setattr(message, key, int(value) if field.cpp_type == FieldDescriptor.CPPTYPE_UINT64 else value)


def as_mapping(message: Message, *, empty: bool) -> Any:
    """Return a message as a mapping.

    Parameters
    ----------
    message : Message
        Of any kind.
    empty : bool
        Whether lists and maps that hold nothing are there; unset fields never are.
    """
    result: dict[str, Any] = {}
    fields = message.DESCRIPTOR.fields_by_name
    field: Any  # its type depends on which protobuf library is installed
    for key, field in fields.items():
        value = getattr(message, key)
        if key.endswith(_ORDER) and key.removesuffix(_ORDER) in fields:
            continue
        if field.is_repeated and not len(value):
            if empty:
                result[key] = {} if _is_map(field) else []
        elif _is_map(field):
            whole = field.message_type.fields_by_name["value"].message_type
            result[key] = {
                name: as_mapping(value[name], empty=empty) if whole is not None else value[name]
                for name in _ordered(message, key)
            }
        elif field.is_repeated:
            result[key] = [as_mapping(one, empty=empty) for one in value] if field.message_type else list(value)
        elif field.has_presence and not message.HasField(key):
            continue
        else:
            result[key] = as_mapping(value, empty=empty) if field.message_type else value
    return result.get(next(iter(fields))) if list(fields) in _STANDS else result


def _is_map(field: Any) -> bool:
    return field.message_type is not None and field.message_type.GetOptions().map_entry


def _fill_map(message: Message, field: Any, value: Mapping[str, Any]) -> None:
    goal = getattr(message, field.name)
    if field.message_type.fields_by_name["value"].message_type is None:
        goal.update(value)
    else:
        for name, entry in value.items():
            goal[name].SetInParent()
            fill(goal[name], entry)
    if field.name + _ORDER in message.DESCRIPTOR.fields_by_name:
        getattr(message, field.name + _ORDER).extend(value)


def _ordered(message: Message, key: str) -> list[str]:
    """Names of a map: those that the order names come first, in its order; the rest in the order of the alphabet."""
    held = getattr(message, key)
    order = list(getattr(message, key + _ORDER, ()))
    first = [name for name in dict.fromkeys(order) if name in held]
    return [*first, *sorted(set(held) - set(first))]
