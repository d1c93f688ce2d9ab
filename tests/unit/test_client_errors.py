"""What a client raises: kinds, messages, details; when it asks again; and whom it brings a token."""

import pickle
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import grpc
import pytest
from google.rpc import error_details_pb2, status_pb2
from grpc_status import rpc_status

from latebreak.engine.errors import Fault, InputError, LatebreakError
from latebreak.service.client import (
    Client,
    NotAllowedError,
    OutOfTimeError,
    RefusedError,
    ServerFaultError,
    ServiceError,
    UnavailableError,
)
from latebreak.service.client.channel import SERVICE_CONFIG, Door
from latebreak.service.client.errors import error_of
from latebreak.service.server.faults import status_of
from latebreak.service.server.gate import BusyError
from latebreak.service.server.work import TooMuchWorkError
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc

HERE = "127.0.0.1:50051"


class Failed(grpc.RpcError):  # type: ignore[misc]
    """A call that failed, as the library hands it out."""

    def __init__(self, code: grpc.StatusCode, text: str | None, metadata: Any = ()) -> None:
        super().__init__()
        self._told = code, text, metadata

    def code(self) -> grpc.StatusCode:
        return self._told[0]

    def details(self) -> str | None:
        return self._told[1]

    def trailing_metadata(self) -> Any:
        return self._told[2]


def failed(status: status_pb2.Status) -> Failed:
    told = rpc_status.to_status(status)
    return Failed(told.code, told.details, told.trailing_metadata)


def sent(error: Exception) -> LatebreakError:
    """What becomes of an error of the server at the client."""
    return error_of(failed(status_of(error, "n-7")), HERE)


KINDS = {
    grpc.StatusCode.UNAVAILABLE: UnavailableError,
    grpc.StatusCode.DEADLINE_EXCEEDED: OutOfTimeError,
    grpc.StatusCode.CANCELLED: OutOfTimeError,
    grpc.StatusCode.RESOURCE_EXHAUSTED: RefusedError,
    grpc.StatusCode.UNAUTHENTICATED: NotAllowedError,
    grpc.StatusCode.PERMISSION_DENIED: NotAllowedError,
}


@pytest.mark.parametrize("code", list(grpc.StatusCode))
def test_every_status_has_its_kind(code: grpc.StatusCode) -> None:
    for text in ("what happened", None):
        told = error_of(Failed(code, text), HERE)
        assert type(told) is KINDS.get(code, ServerFaultError)
        assert isinstance(told, ServiceError)
        assert isinstance(told, LatebreakError)
        assert (told.code, told.reason, told.request_id) == (code, "", "")
        assert str(told) == f"{HERE}: {text or code.name}"


def test_a_busy_server_says_when_to_try_again() -> None:
    told = sent(BusyError("as many wait as may"))
    assert isinstance(told, RefusedError)
    assert (told.retry_after, told.reason, told.request_id) == (1.0, "BUSY", "n-7")
    assert str(told) == f"{HERE}: as many wait as may"


def test_trying_again_does_not_help_against_too_much_work() -> None:
    told = sent(TooMuchWorkError("too much of it"))
    assert isinstance(told, RefusedError)
    assert (told.retry_after, told.reason) == (None, "TOO_MUCH_WORK")


def test_faults_of_the_input_stay_faults_of_the_input() -> None:
    faults = [Fault("pitch.curve.speed_mph", "-5 is out of range", "20 to 110 mph", "mend it"), Fault("", "no pitch")]
    told = sent(InputError(faults, "request"))
    assert isinstance(told, InputError)
    assert [fault.where for fault in told.faults] == ["pitch.curve.speed_mph", ""]
    assert [str(fault) for fault in told.faults] == [str(fault) for fault in faults]


def test_a_status_is_no_longer_than_a_header_may_be() -> None:
    """Peers drop headers beyond 8 KiB by default, and with them what was wrong."""
    faults = [Fault(f"pitch.{'ü' * 300}.{number}", "ü" * 900, "ü" * 900, "ü" * 900) for number in range(200)]
    error = failed(status_of(InputError(faults, "request"), "n-7"))
    text, metadata = error.details(), error.trailing_metadata()
    assert text is not None
    assert error.code() == grpc.StatusCode.INVALID_ARGUMENT
    # The message travels a second time in its own header, with three characters for each byte that is no ASCII.
    written = sum(1 if 32 <= byte < 127 else 3 for byte in text.encode())
    assert written + sum(len(value) * 4 // 3 for _, value in metadata) < 8000
    told = error_of(error, HERE)
    assert isinstance(told, InputError)
    assert 1 <= len(told.faults) < 200


def test_details_that_cannot_be_read_do_not_hide_the_error() -> None:
    for garbage in (b"\xff\xff\xff", b"", b"\x08\x03"):
        told = error_of(Failed(grpc.StatusCode.UNAVAILABLE, "gone", (("grpc-status-details-bin", garbage),)), HERE)
        assert isinstance(told, UnavailableError)
        assert "gone" in str(told)
    assert isinstance(error_of(Failed(grpc.StatusCode.INVALID_ARGUMENT, "odd"), HERE), ServerFaultError)


@pytest.mark.parametrize(
    ("words", "meaning"),
    [
        ("... CERTIFICATE_VERIFY_FAILED: certificate has expired", "out of date, or not of the authority"),
        ("Hostname Verification Check failed.", "for another name"),
        ("... WRONG_VERSION_NUMBER ...", "speaks no TLS"),
        ("... Connection refused", "nothing listens there"),
        ("... Socket closed", "it may want TLS"),
    ],
)
def test_what_the_library_says_is_put_in_plain_words(words: str, meaning: str) -> None:
    told = str(error_of(Failed(grpc.StatusCode.UNAVAILABLE, words), HERE))
    assert told.startswith(f"{HERE}: ")
    assert meaning in told
    assert told.endswith(words)


# --- asking again ---------------------------------------------------------------------------------------------------
class Coming(what_if_pb2_grpc.WhatIfServiceServicer):
    """A server that fails some times before it answers."""

    def __init__(self, failures: Sequence[grpc.StatusCode]) -> None:
        self.failures, self.times = list(failures), []  # type: list[grpc.StatusCode], list[float]

    def ListModels(self, request: Any, context: grpc.ServicerContext) -> Any:  # noqa: N802
        self.times.append(time.monotonic())
        if self.failures:
            context.abort(self.failures.pop(0), "not now")
        return what_if_pb2.ListModelsResponse()


@pytest.fixture
def coming() -> Iterator[tuple[str, Coming]]:
    """The address of such a server."""
    server, servicer = grpc.server(ThreadPoolExecutor(2)), Coming([])
    what_if_pb2_grpc.add_WhatIfServiceServicer_to_server(servicer, server)
    port = server.add_insecure_port("127.0.0.1:0")
    server.start()
    yield f"127.0.0.1:{port}", servicer
    server.stop(None)


@pytest.mark.usefixtures("impatient")
def test_a_server_that_is_away_for_a_moment_is_asked_again(coming: tuple[str, Coming]) -> None:
    address, servicer = coming
    servicer.failures = [grpc.StatusCode.UNAVAILABLE] * 4
    with Client(address, deadline=30.0) as client:
        client.models()
    assert len(servicer.times) == 5


@pytest.mark.usefixtures("impatient")
def test_a_server_that_stays_away_is_not_asked_for_ever(coming: tuple[str, Coming]) -> None:
    address, servicer = coming
    servicer.failures = [grpc.StatusCode.UNAVAILABLE] * 9
    with Client(address, deadline=30.0) as client, pytest.raises(UnavailableError, match="not now"):
        client.models()
    methods: Any = SERVICE_CONFIG["methodConfig"]
    [policy] = [method["retryPolicy"] for method in methods]
    assert len(servicer.times) == policy["maxAttempts"] == 5


@pytest.mark.parametrize(
    "code",
    [
        grpc.StatusCode.RESOURCE_EXHAUSTED,
        grpc.StatusCode.INTERNAL,
        grpc.StatusCode.INVALID_ARGUMENT,
        grpc.StatusCode.DEADLINE_EXCEEDED,
        grpc.StatusCode.UNAUTHENTICATED,
    ],
)
def test_other_failures_are_told_at_once(coming: tuple[str, Coming], code: grpc.StatusCode) -> None:
    address, servicer = coming
    servicer.failures = [code]
    with Client(address, deadline=30.0) as client, pytest.raises(ServiceError) as found:
        client.models()
    assert found.value.code == code
    assert len(servicer.times) == 1


# --- the way there --------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("address", ["", "localhost", "localhost:", ":50051", "localhost:0", "localhost:70000", "a:b"])
def test_what_is_no_address(address: str) -> None:
    with pytest.raises(InputError, match="HOST:PORT") as found:
        Client(address)
    assert [fault.where for fault in found.value.faults] == ["server"]


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "[::1]", "127.3.4.5"])
def test_a_token_may_travel_in_the_clear_on_this_machine(host: str) -> None:
    door = Door(f"{host}:50051", token="abc")
    assert door.metadata == (("authorization", "Bearer abc"),)
    assert ("grpc.enable_http_proxy", 0) in door.options  # no proxy of the environment sees it


@pytest.mark.parametrize(
    "host", ["192.0.2.1", "example.org", "localhost.example.org", "[2001:db8::1]", "0.0.0.0", "dns:///localhost"]
)
def test_a_token_does_not_travel_in_the_clear_off_it(host: str) -> None:
    with pytest.raises(InputError, match="in the clear"):
        Client(f"{host}:50051", token="abc")
    Door(f"{host}:50051")
    ways: list[dict[str, Any]] = [{"tls": True}, {"authority": b"PEM"}, {"certificate": b"PEM", "key": b"PEM"}]
    for how in ways:
        door = Door(f"{host}:50051", token="abc", **how)
        assert door.secure
        assert ("grpc.enable_http_proxy", 0) not in door.options


@pytest.mark.parametrize("token", ["abc\n", "äbc", "abc\x00"])
def test_tokens_that_no_header_can_carry(token: str) -> None:
    with pytest.raises(InputError) as found:
        Client(HERE, token=token)
    assert [fault.where for fault in found.value.faults] == ["token"]
    assert token not in str(found.value)


def test_a_certificate_and_its_key_come_together() -> None:
    halves: list[dict[str, Any]] = [{"certificate": b"PEM"}, {"key": b"PEM"}]
    for how in halves:
        with pytest.raises(InputError, match="come together"):
            Client(HERE, authority=b"PEM", **how)


@pytest.mark.usefixtures("impatient")
def test_nothing_listens_there() -> None:
    with Client("127.0.0.1:1", deadline=30.0) as client, pytest.raises(UnavailableError, match="nothing listens there"):
        client.models()


def test_errors_of_the_service_can_be_sent_to_another_process() -> None:
    """A sweep that asks a service runs in processes, which hand their errors back."""
    told = sent(BusyError("as many wait as may"))
    again = pickle.loads(pickle.dumps(told))
    assert type(again) is RefusedError
    assert (str(again), again.code, again.reason, again.request_id, again.retry_after) == (
        str(told), grpc.StatusCode.RESOURCE_EXHAUSTED, "BUSY", "n-7", 1.0,
    )  # fmt: skip


def test_details_are_those_of_the_standard_error_model() -> None:
    error = failed(status_of(InputError([Fault("seed", "is too large")]), "n-7"))
    status = status_pb2.Status.FromString(dict(error.trailing_metadata())["grpc-status-details-bin"])
    assert (status.code, status.message) == (grpc.StatusCode.INVALID_ARGUMENT.value[0], error.details())
    info, bad = error_details_pb2.ErrorInfo(), error_details_pb2.BadRequest()
    assert status.details[0].Unpack(info)
    assert status.details[1].Unpack(bad)
    assert (info.reason, info.domain) == ("INPUT_AT_FAULT", "latebreak")
    assert [(one.field, one.description) for one in bad.field_violations] == [("seed", "seed: is too large")]
