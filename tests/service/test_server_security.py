"""Who may ask a server, and what the others see: tokens, TLS, mutual TLS, listening off this machine."""

import datetime
import hmac
import http.client
import ipaddress
import signal
import socket
import ssl
import time
import urllib.request
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import grpc
import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from google.rpc import error_details_pb2
from grpc_health.v1 import health_pb2, health_pb2_grpc
from grpc_reflection.v1alpha import reflection_pb2, reflection_pb2_grpc
from grpc_status import rpc_status
from serving import Served, serving

from latebreak.engine.errors import InputError
from latebreak.service.client import AsyncClient, Client, NotAllowedError, UnavailableError
from latebreak.service.server.authentication import is_valid
from latebreak.service.server.settings import Settings, check
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc

TOKEN = "tF9-quokka-71xKe_pm"
WRONG = "tF9-quokka-71xKe_pn"
BEARER = (("authorization", f"Bearer {TOKEN}"),)


@dataclass(frozen=True)
class Identity:
    """A certificate with its key."""

    certificate: x509.Certificate
    secret: ec.EllipticCurvePrivateKey

    @property
    def pem(self) -> bytes:
        return self.certificate.public_bytes(Encoding.PEM)

    @property
    def key(self) -> bytes:
        return self.secret.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())

    def files(self, folder: Path, name: str) -> tuple[str, str]:
        """Write both; return their paths."""
        certificate, key = folder / f"{name}.pem", folder / f"{name}.key"
        certificate.write_bytes(self.pem)
        key.write_bytes(self.key)
        return str(certificate), str(key)


def made(
    name: str, issuer: Identity | None = None, *, hosts: tuple[str, ...] = ("localhost", "127.0.0.1"), days: int = 1
) -> Identity:
    """An authority (no issuer), or a certificate of one that ends in some days; both began two days ago."""
    secret, now = ec.generate_private_key(ec.SECP256R1()), datetime.datetime.now(datetime.UTC)
    subject = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, name)])
    builder = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject if issuer is None else issuer.certificate.subject)
        .public_key(secret.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - datetime.timedelta(days=2))
        .not_valid_after(now + datetime.timedelta(days=days))
        .add_extension(x509.BasicConstraints(ca=issuer is None, path_length=None), critical=True)
    )
    if issuer is not None:
        numeric = [host.replace(".", "").isdigit() for host in hosts]
        names = [
            x509.IPAddress(ipaddress.ip_address(host)) if number else x509.DNSName(host)
            for host, number in zip(hosts, numeric, strict=True)
        ]
        builder = builder.add_extension(x509.SubjectAlternativeName(names), critical=False)
    return Identity(builder.sign((issuer or Identity(None, secret)).secret, SHA256()), secret)  # type: ignore[arg-type]


pytestmark = pytest.mark.usefixtures("impatient")

AUTHORITY, STRANGER = made("an authority"), made("another authority")


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A server with TLS and, from a file, a token."""
    folder = tmp_path_factory.mktemp("guarded")
    certificate, key = made("server", AUTHORITY).files(folder, "server")
    token = folder / "token"
    token.write_text(TOKEN + "\n")
    options = ("--tls-cert", certificate, "--tls-key", key, "--token-file", str(token), "--metrics-port", "0")
    with serving(*options, until="listening") as served:
        yield served


@pytest.fixture(scope="module")
def mutual(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A server that wants certificates of its clients; the authority's file begins with a remark, as bundles do."""
    folder = tmp_path_factory.mktemp("mutual")
    certificate, key = made("server", AUTHORITY).files(folder, "server")
    authority = folder / "authority.pem"
    authority.write_bytes("# Behörde\n".encode() + AUTHORITY.pem)
    options = ("--tls-cert", certificate, "--tls-key", key, "--tls-client-ca", str(authority), "--metrics-port", "0")
    with serving(*options, until="listening") as served:
        yield served


@pytest.fixture(scope="module")
def open_channel(guarded: Served) -> Iterator[grpc.Channel]:
    """A channel to the guarded server; calls bring a token or not."""
    with grpc.secure_channel(guarded.address, grpc.ssl_channel_credentials(AUTHORITY.pem)) as channel:
        yield channel


def page(port: int | None, context: ssl.SSLContext, token: str | None = None) -> tuple[int, str]:
    """Ask for the metrics over TLS: status and text."""
    connection = http.client.HTTPSConnection("127.0.0.1", port, timeout=30.0, context=context)
    try:
        connection.request("GET", "/metrics", headers={} if token is None else {"Authorization": f"Bearer {token}"})
        answer = connection.getresponse()
        return answer.status, answer.read().decode()
    finally:
        connection.close()


def trusting(authority: Identity) -> ssl.SSLContext:
    return ssl.create_default_context(cadata=authority.pem.decode())


# --- tokens ---------------------------------------------------------------------------------------------------------
def calls(channel: grpc.Channel) -> dict[str, Callable[[Any], Any]]:
    """Something to ask of every kind; each takes metadata."""
    stub = what_if_pb2_grpc.WhatIfServiceStub(channel)
    reflection = reflection_pb2_grpc.ServerReflectionStub(channel)
    services = reflection_pb2.ServerReflectionRequest(list_services="")
    return {
        "a call": lambda metadata: stub.ListModels(what_if_pb2.ListModelsRequest(), metadata=metadata),
        "a stream": lambda metadata: next(stub.StreamFlights(what_if_pb2.StreamFlightsRequest(), metadata=metadata)),
        "reflection": lambda metadata: next(reflection.ServerReflectionInfo(iter([services]), metadata=metadata)),
    }


@pytest.mark.parametrize("kind", ["a call", "a stream", "reflection"])
@pytest.mark.parametrize(
    "metadata",
    [
        (),
        (("authorization", f"Bearer {WRONG}"),),
        (("authorization", TOKEN),),
        (("authorization", f"Basic {TOKEN}"),),
        (("authorization", "Bearer "),),
        (("authorization", f"Bearer {TOKEN} "),),
        (("authorization-bin", f"Bearer {TOKEN}".encode()),),
        (("token", TOKEN),),
    ],
)
def test_without_the_token_nothing_is_answered(
    open_channel: grpc.Channel, kind: str, metadata: tuple[tuple[str, str | bytes], ...]
) -> None:
    with pytest.raises(grpc.RpcError) as found:
        calls(open_channel)[kind](metadata)
    assert found.value.code() == grpc.StatusCode.UNAUTHENTICATED
    info = error_details_pb2.ErrorInfo()
    assert any(one.Unpack(info) for one in rpc_status.from_call(found.value).details)
    assert (info.reason, info.domain) == ("NO_VALID_TOKEN", "latebreak")


def test_with_the_token_everything_is(open_channel: grpc.Channel) -> None:
    asked = calls(open_channel)
    assert asked["a call"](BEARER).models
    names = [one.name for one in asked["reflection"](BEARER).list_services_response.service]
    assert "latebreak.v1.WhatIfService" in names
    with pytest.raises(grpc.RpcError) as found:
        asked["a stream"](BEARER)
    assert found.value.code() == grpc.StatusCode.INVALID_ARGUMENT  # it was let in, with an empty scenario


def test_health_is_told_to_anyone(open_channel: grpc.Channel) -> None:
    health = health_pb2_grpc.HealthStub(open_channel)
    assert health.Check(health_pb2.HealthCheckRequest()).status != health_pb2.HealthCheckResponse.UNKNOWN


def test_metrics_want_the_same_token(guarded: Served) -> None:
    context = trusting(AUTHORITY)
    for token in (None, WRONG, ""):
        code, text = page(guarded.metrics_port, context, token)
        assert (code, "latebreak_" in text) == (401, False)
    code, text = page(guarded.metrics_port, context, TOKEN)
    assert (code, "latebreak_requests_inside" in text) == (200, True)


def test_clients_bring_the_token_or_learn_that_they_must(guarded: Served) -> None:
    with Client(guarded.address, authority=AUTHORITY.pem, token=TOKEN) as client:
        assert client.models()
    without: list[dict[str, Any]] = [{}, {"token": WRONG}]
    for how in without:
        with (
            Client(guarded.address, authority=AUTHORITY.pem, **how) as client,
            pytest.raises(NotAllowedError, match="wants a valid token") as found,
        ):
            client.models()
        assert (found.value.code, found.value.reason) == (grpc.StatusCode.UNAUTHENTICATED, "NO_VALID_TOKEN")
        assert WRONG not in str(found.value)


def test_the_token_is_compared_in_constant_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """Constant time is the standard library's promise; here, that nothing but its comparison decides."""
    compared, compare = [], hmac.compare_digest

    def watched(one: bytes, other: bytes) -> bool:
        compared.append((one, other))
        return compare(one, other)

    monkeypatch.setattr(hmac, "compare_digest", watched)
    assert is_valid(f"Bearer {TOKEN}", TOKEN)
    assert is_valid(f"Bearer {TOKEN}".encode(), TOKEN)
    for wrong in (None, "", b"\xff", "Bearer é", TOKEN, f"Bearer {WRONG}"):
        assert not is_valid(wrong, TOKEN)
    assert len(compared) == 8


def test_tokens_come_from_the_environment_too_and_stay_out_of_the_log(guarded: Served) -> None:
    with serving(env={"LATEBREAK_TOKEN": TOKEN}, until="listening") as served:
        with Client(served.address, token=TOKEN) as client:  # in the clear, on this machine alone
            assert client.models()
        with Client(served.address, token=WRONG) as client, pytest.raises(NotAllowedError):
            client.models()
        arguments = Path(f"/proc/{served.process.pid}/cmdline").read_bytes()
        assert TOKEN.encode() not in arguments
        for log in (served.log_text(), guarded.log_text()):
            assert '"token": true' in log
            assert TOKEN not in log
            assert WRONG not in log


# --- TLS ------------------------------------------------------------------------------------------------------------
def refusal(address: str, **how: Any) -> str:
    """What a client is told that gets no connection: the same of the client and its twin."""
    with Client(address, deadline=30.0, **how) as client, pytest.raises(UnavailableError) as found:
        client.models()
    assert found.value.code == grpc.StatusCode.UNAVAILABLE
    return str(found.value)


def test_a_server_of_another_authority_is_not_believed(guarded: Served) -> None:
    told = refusal(guarded.address, authority=STRANGER.pem, token=TOKEN)
    assert "the server's certificate is out of date, or not of the authority that was given" in told
    with pytest.raises(ssl.SSLCertVerificationError):
        page(guarded.metrics_port, trusting(STRANGER), TOKEN)


def test_a_plain_client_gets_nothing_from_a_server_with_tls(guarded: Served) -> None:
    assert "the server hung up; it may want TLS, or a certificate of this client" in refusal(guarded.address)


def test_a_client_with_tls_learns_that_the_server_has_none(server: Served) -> None:
    assert "the server speaks no TLS" in refusal(server.address, authority=AUTHORITY.pem)


def test_an_authority_that_is_none_is_said(guarded: Served) -> None:
    assert "authority, certificate or key can't be used" in refusal(guarded.address, authority=b"no PEM")


def test_a_certificate_for_another_name_is_not_believed(tmp_path: Path) -> None:
    certificate, key = made("server", AUTHORITY, hosts=("elsewhere.example", "10.9.8.7")).files(tmp_path, "server")
    with serving("--tls-cert", certificate, "--tls-key", key, until="listening") as served:
        assert "certificate is for another name" in refusal(served.address, authority=AUTHORITY.pem)


@pytest.mark.parametrize("issuer", [AUTHORITY, None], ids=["of an authority", "of its own"])
def test_a_server_does_not_start_with_a_certificate_that_is_out_of_date(issuer: Identity | None) -> None:
    late, good = (made("server", issuer, days=days) for days in (-1, 1))
    with pytest.raises(InputError, match="tls-cert: the certificate is out of date; allowed: one that is valid now"):
        check(Settings(certificate=late.pem, key=late.key))
    check(Settings(certificate="# Behörde\n".encode() + good.pem + AUTHORITY.pem, key=good.key))


def test_clients_do_not_believe_a_certificate_that_ran_out_since() -> None:
    late = made("server", AUTHORITY, days=-1)
    other = grpc.server(ThreadPoolExecutor(1))  # ours would not start
    port = other.add_secure_port("127.0.0.1:0", grpc.ssl_server_credentials([(late.key, late.pem)]))
    other.start()
    try:
        assert "the server's certificate is out of date" in refusal(f"127.0.0.1:{port}", authority=AUTHORITY.pem)
    finally:
        other.stop(None)


def test_a_server_that_anyone_may_ask_says_so(tmp_path: Path, guarded: Served, mutual: Served) -> None:
    certificate, key = made("server", AUTHORITY).files(tmp_path, "server")
    with serving("--tls-cert", certificate, "--tls-key", key, until="listening") as served:
        assert "anyone who reaches this server may ask" in served.wait_for("open", 30.0)["problem"]
    for closed in (guarded, mutual):
        assert "open" not in {line["event"] for line in closed.log_lines()}


def test_guessed_tokens_are_counted_and_logged_with_who_tried(guarded: Served, open_channel: grpc.Channel) -> None:
    before = len(guarded.requests())
    with pytest.raises(grpc.RpcError):
        calls(open_channel)["a call"]((("authorization", f"Bearer {WRONG}"),))
    line = guarded.wait_for("request", 10.0, count=before + 1)
    assert (line["method"], line["status"]) == ("ListModels", "UNAUTHENTICATED")
    assert "127.0.0.1:" in line["peer"]
    page(guarded.metrics_port, trusting(AUTHORITY), WRONG)
    line = guarded.wait_for("request", 10.0, count=before + 2)
    assert (line["method"], line["status"], line["peer"]) == ("metrics", "UNAUTHENTICATED", "127.0.0.1")
    counted = page(guarded.metrics_port, trusting(AUTHORITY), TOKEN)[1]
    for method in ("ListModels", "metrics"):
        assert f'latebreak_requests_total{{method="{method}",status="UNAUTHENTICATED"}}' in counted


def test_noise_on_the_metrics_port_is_logged_as_json(guarded: Served) -> None:
    with socket.create_connection(("127.0.0.1", guarded.metrics_port or 0)) as noise:
        noise.sendall(b"GET / HTTP/1.1\r\n\r\n")  # no TLS
    assert guarded.wait_for("metrics", 20.0)["peer"] == "127.0.0.1"
    assert all(isinstance(line, dict) for line in guarded.log_lines())  # each is JSON


def test_metrics_and_calls_come_over_ipv6_too() -> None:
    if not socket.has_ipv6:
        pytest.skip("no IPv6")
    with serving("--host", "::1", "--metrics-port", "0", until="listening") as served:
        with urllib.request.urlopen(f"http://[::1]:{served.metrics_port}/metrics", timeout=30.0) as found:
            assert "latebreak_requests_inside" in found.read().decode()
        with Client(f"[::1]:{served.port}") as client:
            assert client.models()


def test_who_watches_health_does_not_delay_the_end() -> None:
    with serving("--grace", "3600", until="listening") as served, grpc.insecure_channel(served.address) as channel:
        watched = health_pb2_grpc.HealthStub(channel).Watch(health_pb2.HealthCheckRequest())
        next(watched)
        served.process.send_signal(signal.SIGTERM)
        assert [one.status for one in watched][-1:] in ([], [health_pb2.HealthCheckResponse.NOT_SERVING])
        assert served.process.wait(120.0) == 0  # not an hour


def test_mutual_tls_lets_in_clients_of_the_authority_alone(mutual: Served) -> None:
    ours, theirs = made("client", AUTHORITY), made("client", STRANGER)
    with Client(mutual.address, authority=AUTHORITY.pem, certificate=ours.pem, key=ours.key) as client:
        assert client.models()
    for how in ({}, {"certificate": theirs.pem, "key": theirs.key}):
        told = refusal(mutual.address, authority=AUTHORITY.pem, **how)
        assert "the server hung up; it may want TLS, or a certificate of this client" in told
    expired = made("client", AUTHORITY, days=-1)
    refusal(mutual.address, authority=AUTHORITY.pem, certificate=expired.pem, key=expired.key)
    assert len(mutual.requests()) == 1


def test_metrics_want_the_same_certificate(mutual: Served, tmp_path: Path) -> None:
    context = trusting(AUTHORITY)
    with pytest.raises((ssl.SSLError, ConnectionError)):
        page(mutual.metrics_port, context)
    context.load_cert_chain(*made("client", AUTHORITY).files(tmp_path, "client"))
    assert page(mutual.metrics_port, context)[0] == 200


def test_the_asynchronous_client_does_as_its_twin(guarded: Served, mutual: Served) -> None:
    import asyncio

    ours = made("client", AUTHORITY)

    async def ask(address: str, **how: Any) -> int:
        async with AsyncClient(address, deadline=30.0, **how) as client:
            return len(await client.models())

    assert asyncio.run(ask(guarded.address, authority=AUTHORITY.pem, token=TOKEN))
    assert asyncio.run(ask(mutual.address, authority=AUTHORITY.pem, certificate=ours.pem, key=ours.key))
    with pytest.raises(NotAllowedError):
        asyncio.run(ask(guarded.address, authority=AUTHORITY.pem, token=WRONG))
    with pytest.raises(UnavailableError, match="not of the authority"):
        asyncio.run(ask(guarded.address, authority=STRANGER.pem, token=TOKEN))
    with pytest.raises(InputError, match="in the clear"):
        asyncio.run(ask("192.0.2.7:50051", token=TOKEN))


# --- off this machine, and callers who say nothing ------------------------------------------------------------------
def test_plain_listening_off_this_machine_is_possible_where_it_is_asked_for() -> None:
    with serving("--host", "0.0.0.0", "--insecure-listen", until="listening") as served:
        line = served.log_lines()[0]
        assert (line["address"], line["tls"], line["token"]) == ("0.0.0.0", False, False)
        with Client(f"127.0.0.1:{served.port}") as client:
            assert client.models()


def test_callers_who_say_nothing_keep_nobody_waiting(tmp_path: Path) -> None:
    certificate, key = made("server", AUTHORITY).files(tmp_path, "server")
    with serving("--tls-cert", certificate, "--tls-key", key, "--metrics-port", "0", until="listening") as served:
        silent = [socket.create_connection(("127.0.0.1", port or 0)) for port in 4 * [served.port, served.metrics_port]]
        try:
            time.sleep(0.2)
            assert page(served.metrics_port, trusting(AUTHORITY))[0] == 200
            with Client(served.address, authority=AUTHORITY.pem) as client:
                assert client.models()
            served.process.send_signal(signal.SIGTERM)
            assert served.process.wait(60.0) == 0
        finally:
            for connection in silent:
                connection.close()


def test_what_stays_on_this_machine_goes_through_no_proxy(server: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    with socket.socket() as proxy:
        proxy.bind(("127.0.0.1", 0))
        proxy.listen()
        proxy.settimeout(0.0)
        monkeypatch.setenv("http_proxy", f"http://127.0.0.1:{proxy.getsockname()[1]}")
        monkeypatch.delenv("no_proxy", raising=False)
        monkeypatch.delenv("no_grpc_proxy", raising=False)
        with Client(server.address, token=TOKEN, deadline=20.0) as client:
            assert client.models()
        with pytest.raises(BlockingIOError):  # nobody came to it
            proxy.accept()
