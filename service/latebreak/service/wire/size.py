"""How much a message holds, counted in its bytes before anything is made of them.

An empty entry of a list takes two bytes on the wire and a hundred and more in memory, so a limit of bytes is none of
memory. Encoding: https://protobuf.dev/programming-guides/encoding (from memory).
"""

from __future__ import annotations

from typing import Any

from google.protobuf.descriptor import Descriptor, FieldDescriptor
from google.protobuf.message import DecodeError

_VARINT, _EIGHT_BYTES, _LENGTH, _FOUR_BYTES = 0, 1, 2, 5
#: A number of the wire ends within ten bytes.
_LONGEST_VARINT = 10
#: Fewest bytes of one number of a packed list.
_PACKED = {
    **dict.fromkeys((FieldDescriptor.TYPE_DOUBLE, FieldDescriptor.TYPE_FIXED64, FieldDescriptor.TYPE_SFIXED64), 8),
    **dict.fromkeys((FieldDescriptor.TYPE_FLOAT, FieldDescriptor.TYPE_FIXED32, FieldDescriptor.TYPE_SFIXED32), 4),
}
_WHOLE = (FieldDescriptor.TYPE_STRING, FieldDescriptor.TYPE_BYTES)


class GroupError(DecodeError):
    """A group, the old form of a message in a message, which nothing of ours has."""


def count_values(content: bytes, kind: Descriptor, enough: int) -> int:
    """Count the values of a message: its fields and entries, and those of the messages in them.

    Parameters
    ----------
    content : bytes
        A message on the wire.
    kind : Descriptor
        What message it is.
    enough : int
        Where counting may stop.

    Returns
    -------
    int
        The number; something above `enough` where there are more.

    Raises
    ------
    DecodeError
        If the bytes are no message.
    """
    count, todo = 0, [(kind, 0, len(content))]
    while todo:
        kind, place, end = todo.pop()
        while place < end and count <= enough:
            tag, place = _number(content, place, end)
            wire, count = tag & 7, count + 1
            if wire == _LENGTH:
                length, place = _number(content, place, end)
                field: Any = kind.fields_by_number.get(tag >> 3)
                if field is not None and field.message_type is not None:
                    todo.append((field.message_type, place, min(place + length, end)))
                elif field is not None and field.is_repeated and field.type not in _WHOLE:
                    count += length // _PACKED.get(field.type, 1)
                place += length
            elif wire == _VARINT:
                _, place = _number(content, place, end)
            elif wire in (_EIGHT_BYTES, _FOUR_BYTES):
                place += 8 if wire == _EIGHT_BYTES else 4
            else:
                raise GroupError("a group")
        if place > end:
            raise DecodeError("cut off")
    return count


def _number(content: bytes, place: int, end: int) -> tuple[int, int]:
    """Read a number of variable length; return it and the place after it."""
    value = 0
    for shift in range(_LONGEST_VARINT):
        if place >= end:
            break
        byte = content[place]
        place += 1
        value |= (byte & 0x7F) << 7 * shift
        if byte < 0x80:
            return value, place
    raise DecodeError("a number that does not end")
