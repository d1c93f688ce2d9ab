"""Many questions of one call: how many it takes, how they are told apart, and what goes into their messages."""

from __future__ import annotations

from google.protobuf.message import Message
from google.protobuf.wrappers_pb2 import StringValue

from latebreak.engine.errors import Fault, InputError
from latebreak.v1 import what_if_pb2

#: Questions of one call, whose ids it keeps; characters of an id (chosen: 2 MB at most).
MOST_QUESTIONS, LONGEST_ID = 10_000, 64

#: Fields of the questions.
QUESTIONS = what_if_pb2.AskRequest.DESCRIPTOR.oneofs_by_name["question"].fields
#: The field of a question and of its answer, by the type of either.
KINDS: dict[str, str] = {
    field.message_type.name: field.name
    for message in (what_if_pb2.AskRequest, what_if_pb2.AskResponse)
    for oneof in message.DESCRIPTOR.oneofs
    for field in oneof.fields
    if field.message_type is not None
}


def request_of(name: str, question: Message) -> what_if_pb2.AskRequest:
    """Put a request of its own among many.

    Raises
    ------
    InputError
        If it is none that has one answer.
    """
    asked, kind = what_if_pb2.AskRequest(id=name), KINDS.get(type(question).__name__)
    if kind is None:
        allowed = ", ".join(one.name for one in QUESTIONS)
        raise InputError([Fault("question", f"{type(question).__name__} can't be asked among many", allowed)])
    getattr(asked, kind).CopyFrom(question)
    return asked


def response_of(request: Message) -> Message:
    """Return the empty response message to a request."""
    response: Message = getattr(what_if_pb2, f"{type(request).__name__.removesuffix('Request')}Response")()
    return response


def response_to(name: str, found: Message) -> what_if_pb2.AskResponse:
    """Put a response, or the google.rpc.Status of a question without one, among many."""
    response = what_if_pb2.AskResponse(id=name)
    part = getattr(response, KINDS[type(found).__name__])
    part.SetInParent()
    part.MergeFromString(found.SerializeToString())  # a status comes from the same message of another package
    return response


def id_of(content: bytes) -> str:
    """Read the id of a question whose bytes are not to be read as a whole; empty where it can't be told.

    Raises
    ------
    DecodeError
        If the bytes are no message.
    """
    return StringValue.FromString(content).value  # any message whose first field is a text; the others are skipped
