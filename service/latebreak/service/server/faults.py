"""What a caller is told where a question has no answer: status codes with details of the standard error model.

Every status carries google.rpc.ErrorInfo of the domain `latebreak`; input at fault carries google.rpc.BadRequest with
a key path for every fault, and a server that is busy google.rpc.RetryInfo.
"""

from __future__ import annotations

import grpc
from google.protobuf import duration_pb2
from google.protobuf.message import Message
from google.rpc import error_details_pb2, status_pb2
from grpc_status import rpc_status

from latebreak.engine.errors import InputError, LatebreakError
from latebreak.engine.plug_ins import PlugInError
from latebreak.engine.stopping import StoppedError
from latebreak.service.server.authentication import NoTokenError
from latebreak.service.server.gate import BusyError, SlowError
from latebreak.service.server.many import EndingError
from latebreak.service.server.strangers import HangingError
from latebreak.service.server.work import TooMuchWorkError

DOMAIN = "latebreak"
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
    if isinstance(error, EndingError):
        return grpc.StatusCode.UNAVAILABLE
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
    grpc.StatusCode.UNAVAILABLE: "ENDING",
    grpc.StatusCode.UNAUTHENTICATED: "NO_VALID_TOKEN",
}


def status_of(error: BaseException, request_id: str) -> status_pb2.Status:
    """Return code, message and details for an error.

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
    status = status_pb2.Status(code=code.value[0], message=text)
    for detail in (info, *details):
        status.details.add().Pack(detail)
    return status


def refuse(context: grpc.aio.ServicerContext, status: status_pb2.Status) -> None:
    """Answer a call with a status; what its handler returns after that is not sent.

    The context's own `abort` raises an exception that the library ties to the call: request and response, however
    large, would then stay in memory until the next garbage collection.
    """
    told = rpc_status.to_status(status)
    context.set_code(told.code)
    context.set_details(told.details)
    context.set_trailing_metadata(told.trailing_metadata)


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
