"""Messages as the other side reads them, for tests of the wire."""

from typing import Any

from google.protobuf.descriptor import FieldDescriptor
from google.protobuf.message import Message
from hypothesis import strategies as st


def sent(message: Message) -> Any:
    """The message as the other side reads it."""
    return type(message).FromString(message.SerializeToString())


#: Printable or not; a message holds every text that is UTF-8, which half a surrogate pair is not.
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)


def is_map(field: FieldDescriptor) -> bool:
    return field.message_type is not None and field.message_type.GetOptions().map_entry


def map_value(field: FieldDescriptor) -> FieldDescriptor:
    """The field that holds what a map holds by name."""
    entry = field.message_type
    assert entry is not None
    assert entry.GetOptions().map_entry, field.full_name
    assert entry.fields_by_name["key"].type == FieldDescriptor.TYPE_STRING
    value: FieldDescriptor = entry.fields_by_name["value"]
    return value
