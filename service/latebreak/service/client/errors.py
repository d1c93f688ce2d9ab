"""What can go wrong between a client and its server; what is wrong with the input stays an `InputError`."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import grpc
from google.protobuf.message import DecodeError
from google.rpc import error_details_pb2, status_pb2
from grpc_status import rpc_status

from latebreak.engine.errors import Fault, InputError, LatebreakError


class ServiceError(LatebreakError):
    """Root of every trouble with a server.

    Attributes
    ----------
    code : grpc.StatusCode
        Status of the call.
    reason : str
        Reason of google.rpc.ErrorInfo; empty where the server gave none.
    request_id : str
        Number of the request in the server's log; empty where it is not known.
    """

    def __init__(
        self, message: str, code: grpc.StatusCode = grpc.StatusCode.UNKNOWN, reason: str = "", request_id: str = ""
    ) -> None:
        super().__init__(message)
        self.code, self.reason, self.request_id = code, reason, request_id


class UnavailableError(ServiceError):
    """There is no server at this address, or it went away."""


class OutOfTimeError(ServiceError):
    """The deadline passed, or the server's own limit of time."""


class RefusedError(ServiceError):
    """The server takes no more work now, or not so much of it.

    Attributes
    ----------
    retry_after : float or None
        s after which it may be tried again; None where trying again does not help.
    """

    retry_after: float | None = None


class NotAllowedError(ServiceError):
    """The server wants a valid token or certificate."""


class ServerFaultError(ServiceError):
    """A fault of the server, or of what it sent."""


_KINDS = {
    grpc.StatusCode.UNAVAILABLE: UnavailableError,
    grpc.StatusCode.DEADLINE_EXCEEDED: OutOfTimeError,
    grpc.StatusCode.CANCELLED: OutOfTimeError,
    grpc.StatusCode.RESOURCE_EXHAUSTED: RefusedError,
    grpc.StatusCode.UNAUTHENTICATED: NotAllowedError,
    grpc.StatusCode.PERMISSION_DENIED: NotAllowedError,
}


_CODES = {code.value[0]: code for code in grpc.StatusCode}

#: What the asynchronous library says where a call ended while it was sending; the true status it then leaves out.
_CUT_OFF = "Internal error from Core"
#: What the library's words mean where no connection comes about; the first that fits.
_MEANINGS = {
    _CUT_OFF: "the server ended the call before it had taken every question; ask again what has no answer",
    "CERTIFICATE_VERIFY_FAILED": "the server's certificate is out of date, or not of the authority that was given",
    "Hostname Verification": "the server's certificate is for another name",
    "WRONG_VERSION_NUMBER": "the server speaks no TLS",
    "security handshaker": "authority, certificate or key can't be used",
    "Connection refused": "nothing listens there",
    **dict.fromkeys(
        ("Socket closed", "Connection reset", "Broken pipe"),
        "the server hung up; it may want TLS, or a certificate of this client",
    ),
}


def error_of(error: grpc.RpcError, address: str, renamed: Callable[[str], str] = str) -> LatebreakError:
    """Return what to raise for a call that failed.

    Parameters
    ----------
    error : grpc.RpcError
        From a synchronous or an asynchronous call.
    address : str
        Of the server, for messages.
    renamed : callable
        From what the server calls a part of the input to what it is called here.
    """
    try:
        status = rpc_status.from_call(error)
    except (ValueError, AttributeError, DecodeError):
        status = None  # there are no details, or they can't be read
    return _told(error.code(), error.details() or "", status, address, renamed)


def error_in(status: status_pb2.Status, address: str, renamed: Callable[[str], str] = str) -> LatebreakError:
    """Return what the status of a question among many tells; parameters as for `error_of`."""
    code = _CODES.get(status.code, grpc.StatusCode.UNKNOWN)
    return _told(code, status.message, status, address, renamed)


def _told(
    code: grpc.StatusCode, text: str, status: status_pb2.Status | None, address: str, renamed: Callable[[str], str]
) -> LatebreakError:
    found: dict[type, Any] = {type(detail): detail for detail in _details(status)}
    info = found.get(error_details_pb2.ErrorInfo, error_details_pb2.ErrorInfo())
    bad = found.get(error_details_pb2.BadRequest)
    if code == grpc.StatusCode.INVALID_ARGUMENT and bad is not None:
        faults = [Fault(one.field, one.description.removeprefix(f"{one.field}: ")) for one in bad.field_violations]
        return InputError(faults, renamed(info.metadata.get("source", "")))
    kind = UnavailableError if text == _CUT_OFF else _KINDS.get(code, ServerFaultError)
    meaning = next((said for word, said in _MEANINGS.items() if kind is UnavailableError and word in text), "")
    message = ": ".join(filter(None, (address, meaning, text or code.name)))
    told = kind(message, code, info.reason, info.metadata.get("request_id", ""))
    retry = found.get(error_details_pb2.RetryInfo)
    if isinstance(told, RefusedError) and retry is not None:
        told.retry_after = retry.retry_delay.seconds + 1e-9 * retry.retry_delay.nanos
    return told


def _details(status: status_pb2.Status | None) -> list[Any]:
    """Unpack the details of the standard error model."""
    result: list[Any] = []
    for packed in status.details if status is not None else ():
        for kind in (error_details_pb2.ErrorInfo, error_details_pb2.BadRequest, error_details_pb2.RetryInfo):
            detail = kind()
            if packed.Unpack(detail):
                result.append(detail)
    return result
