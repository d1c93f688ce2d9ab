"""What a caller is told where a question has no answer: status codes with details of the standard error model.

Every status carries google.rpc.ErrorInfo of the domain `latebreak`; input at fault carries google.rpc.BadRequest with
a key path for every fault, and a server that is busy google.rpc.RetryInfo.
"""

from __future__ import annotations

import grpc
from google.protobuf import any_pb2, duration_pb2
from google.protobuf.message import Message
from google.rpc import error_details_pb2, status_pb2

from latebreak.engine.errors import InputError, LatebreakError
from latebreak.engine.plug_ins import PlugInError
from latebreak.engine.stopping import StoppedError
from latebreak.service.server.authentication import NoTokenError
from latebreak.service.server.gate import BusyError, SlowError
from latebreak.service.server.strangers import HangingError
from latebreak.service.server.work import TooMuchWorkError

DOMAIN = "latebreak"
_DETAILS = "grpc-status-details-bin"
#: s; what a caller that was turned away is asked to wait.
_RETRY_AFTER = 1
#: A status travels in headers, of which peers take 8 KiB in all: the message once as it is, percent-encoded, and once
#: in the details, which are base64. Bytes of the message, of one fault, of all faults, and of a name (chosen:
#: 3 * 600 + 4 / 3 * (600 + 3600 + 200 + 200) < 8192, the last for keys and the request's number).
_LONGEST, _LONGEST_FAULT, _ALL_FAULTS, _LONGEST_NAME = 600, 1200, 3600, 200


def code_of(error: BaseException) -> grpc.StatusCode:
    """Status code of an error."""
    if isinstance(error, InputError):
        return grpc.StatusCode.INVALID_ARGUMENT
    if isinstance(error, (BusyError, TooMuchWorkError)):
        return grpc.StatusCode.RESOURCE_EXHAUSTED
    if isinstance(error, NoTokenError):
        return grpc.StatusCode.UNAUTHENTICATED
    if isinstance(
        error, (StoppedError, SlowError, HangingError)
    ):  # who has hung up is told nothing, so the time was over
        return grpc.StatusCode.DEADLINE_EXCEEDED
    return grpc.StatusCode.INTERNAL


_REASONS = {
    grpc.StatusCode.INVALID_ARGUMENT: "INPUT_AT_FAULT",
    grpc.StatusCode.DEADLINE_EXCEEDED: "OUT_OF_TIME",
    grpc.StatusCode.INTERNAL: "BUG",
    grpc.StatusCode.UNAUTHENTICATED: "NO_VALID_TOKEN",
}


def status_of(error: BaseException, request_id: str) -> tuple[grpc.StatusCode, str, tuple[tuple[str, bytes], ...]]:
    """Return code, message and trailing metadata for an error.

    Parameters
    ----------
    error : BaseException
        Anything that stopped a request; of what is no LatebreakError nothing but the request's number is told.
    request_id : str
        Number of the request in the server's log.
    """
    code = code_of(error)
    reason = _REASONS.get(code, "")
    details: list[Message] = []
    text = str(error) if isinstance(error, LatebreakError) else f"a fault of latebreak; request {request_id}"
    if isinstance(error, InputError):
        details.append(_bad_request(error))
    if isinstance(error, BusyError):
        reason = "BUSY"
        details.append(error_details_pb2.RetryInfo(retry_delay=duration_pb2.Duration(seconds=_RETRY_AFTER)))
    if isinstance(error, TooMuchWorkError):
        reason = "TOO_MUCH_WORK"
    if isinstance(error, PlugInError):
        reason = "PLUG_IN"
    if isinstance(error, SlowError):
        reason = "TOO_SLOW"
    info = error_details_pb2.ErrorInfo(reason=reason, domain=DOMAIN, metadata={"request_id": request_id})
    if isinstance(error, InputError):
        info.metadata["source"] = _short(error.source, _LONGEST_NAME)
    text = _short(text, _LONGEST)
    return code, text, trailing(code, text, [info, *details])


def trailing(code: grpc.StatusCode, text: str, details: list[Message]) -> tuple[tuple[str, bytes], ...]:
    """Pack a status with details as trailing metadata."""
    packed = []
    for detail in details:
        one = any_pb2.Any()
        one.Pack(detail)
        packed.append(one)
    status = status_pb2.Status(code=code.value[0], message=text, details=packed)
    return ((_DETAILS, status.SerializeToString()),)


def refuse(
    context: grpc.aio.ServicerContext, code: grpc.StatusCode, text: str, metadata: tuple[tuple[str, bytes], ...]
) -> None:
    """Answer a call with a status; what its handler returns after that is not sent.

    The context's own `abort` raises an exception that the library ties to the call: request and response, however
    large, would then stay in memory until the next garbage collection.
    """
    context.set_code(code)
    context.set_details(text)
    context.set_trailing_metadata(metadata)


def _bad_request(error: InputError) -> error_details_pb2.BadRequest:
    """List the faults, and count those for which there is no room."""
    bad, room = error_details_pb2.BadRequest(), _ALL_FAULTS
    for number, fault in enumerate(error.faults):
        one = error_details_pb2.BadRequest.FieldViolation(
            field=_short(fault.where, _LONGEST_NAME), description=_short(str(fault), _LONGEST_FAULT)
        )
        room -= one.ByteSize()
        if room < 0:
            more = len(error.faults) - number
            bad.field_violations.add(description=f"and {more} fault{'s' * (more > 1)} more; mend these first")
            break
        bad.field_violations.append(one)
    return bad


def _short(text: str, longest: int) -> str:
    """Cut a text at so many bytes."""
    whole = text.encode("utf-8", "replace")
    return text if len(whole) <= longest else whole[:longest].decode("utf-8", "ignore") + " ..."
