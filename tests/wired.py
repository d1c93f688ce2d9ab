"""Messages as the other side reads them, for tests of the wire."""

from typing import Any

from google.protobuf.message import Message
from hypothesis import strategies as st


def sent(message: Message) -> Any:
    """The message as the other side reads it."""
    return type(message).FromString(message.SerializeToString())


#: Printable or not; a message holds every text that is UTF-8, which half a surrogate pair is not.
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
