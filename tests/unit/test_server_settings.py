"""Settings of a server: what is refused, and where tokens come from."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from latebreak.engine.errors import InputError
from latebreak.service.server.settings import SHORTEST_TOKEN, Settings, check, is_loopback, read_token

TOKEN = "x" * SHORTEST_TOKEN
TLS: dict[str, Any] = {"certificate": b"a certificate", "key": b"a key"}


def places(**changed: Any) -> list[str]:
    """Where the faults of the default settings with some changes are."""
    try:
        check(replace(Settings(), **changed))
    except InputError as error:
        return [fault.where for fault in error.faults]
    return []


@pytest.mark.parametrize("host", ["127.0.0.1", "127.8.9.10", "::1", "[::1]", "localhost"])
def test_this_machine_alone(host: str) -> None:
    assert is_loopback(host)
    assert places(host=host) == []
    assert places(host=host, token=TOKEN) == []


@pytest.mark.parametrize(
    "host",
    ["0.0.0.0", "::", "[::]", "192.0.2.1", "2001:db8::1", "example.org", "localhost.example.org", "127.0.0.1.example",
     "", "*", "unix:/somewhere"],
)  # fmt: skip
def test_off_this_machine_takes_tls_or_a_word_for_it(host: str) -> None:
    assert not is_loopback(host)
    assert places(host=host) == ["host"]
    assert places(host=host, plain=True) == []
    assert places(host=host, **TLS) == []
    assert places(host=host, token=TOKEN, **TLS) == []


def test_a_token_never_travels_in_the_clear_off_this_machine() -> None:
    assert places(host="0.0.0.0", plain=True, token=TOKEN) == ["token"]
    assert places(host="0.0.0.0", token=TOKEN) == ["host", "token"]


@pytest.mark.parametrize("token", ["", TOKEN[1:], "short", "é" * SHORTEST_TOKEN, TOKEN + "\n", TOKEN + "\x00"])
def test_tokens_that_can_be_guessed_or_not_be_sent(token: str) -> None:
    assert places(token=token) == ["token"]


def test_what_belongs_together() -> None:
    assert places(certificate=b"a certificate") == ["tls-cert"]
    assert places(key=b"a key") == ["tls-cert"]
    assert places(client_authority=b"an authority") == ["tls-client-ca"]
    assert places(client_authority=b"an authority", **TLS) == []


def test_all_faults_at_once_with_remedies() -> None:
    settings = Settings(host="0.0.0.0", token="short", client_authority=b"an authority", key=b"a key")
    with pytest.raises(InputError) as found:
        check(settings)
    assert [fault.where for fault in found.value.faults] == ["tls-cert", "tls-client-ca", "host", "token", "token"]
    assert "--insecure-listen" in str(found.value)
    assert "'0.0.0.0'" in str(found.value)
    assert "short\n" not in str(found.value)


def test_where_a_token_comes_from(tmp_path: Path) -> None:
    file = tmp_path / "token"
    file.write_text(f"  {TOKEN}\n")
    assert read_token(None, {}) is None
    assert read_token(None, {"LATEBREAK_TOKEN": TOKEN + "\n"}) == TOKEN
    assert read_token(file, {"LATEBREAK_TOKEN": "another"}) == TOKEN
    with pytest.raises(FileNotFoundError):
        read_token(tmp_path / "nowhere", {"LATEBREAK_TOKEN": TOKEN})


def test_an_empty_token_is_none_that_a_server_starts_with(tmp_path: Path) -> None:
    """A secret that was not delivered must not open the server."""
    file = tmp_path / "token"
    for content in (b"", b" \n", b"\xff\xfe\xfd"):
        file.write_bytes(content)
        assert places(token=read_token(file, {})) == ["token"]
    assert places(token=read_token(None, {"LATEBREAK_TOKEN": ""})) == ["token"]
