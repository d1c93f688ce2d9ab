"""Scenarios and messages as the other side reads them, for tests of the wire."""

import tomllib
from typing import Any

from google.protobuf.message import Message
from hypothesis import strategies as st

from latebreak.service.scenario.starter import starter_text

Json = dict[str, Any]


def sent(message: Message) -> Any:
    """The message as the other side reads it."""
    return type(message).FromString(message.SerializeToString())


#: Printable or not; a message holds every text that is UTF-8, which half a surrogate pair is not.
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)


def starter(**changes: Json) -> Json:
    """The starter's tables, with keys of some of them changed."""
    mapping = tomllib.loads(starter_text("base"))
    for key, table in changes.items():
        mapping.setdefault(key, {}).update(table)
    return mapping
