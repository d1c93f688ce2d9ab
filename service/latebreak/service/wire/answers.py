"""Answers on the wire: put into a message, and built again from it, equal to the digit."""

from __future__ import annotations

from typing import Any

from google.protobuf.message import Message

from latebreak.service.plain import built
from latebreak.service.questions import (
    AimResult,
    Answer,
    CompareResult,
    FitResult,
    FlyResult,
    LeversResult,
    MixResult,
    ReachResult,
)
from latebreak.service.wire.messages import as_mapping, fill

#: What each question finds out.
_RESULTS = {
    "fly": FlyResult,
    "compare": CompareResult,
    "aim": AimResult,
    "mix": MixResult,
    "levers": LeversResult,
    "reach": ReachResult,
    "fit": FitResult,
}


def fill_answer(message: Message, answer: Answer[Any]) -> None:
    """Put an answer into the empty response message of its question."""
    fill(message, answer.to_dict())


def answer_of(message: Message) -> Answer[Any]:
    """Build an answer from a response message."""
    mapping = as_mapping(message, empty=True)
    return Answer(
        mapping["command"],
        mapping["title"],
        mapping["seed"],
        mapping["throws"],
        tuple(mapping["warnings"]),
        tuple(mapping["cautions"]),
        built(_RESULTS[mapping["command"]], mapping["result"]),
        mapping["version"],
    )
