"""One plain server for many tests."""

from collections.abc import Iterator

import pytest
from serving import Served, serving


@pytest.fixture(scope="session")
def server() -> Iterator[Served]:
    """A server on this machine with metrics, without token and TLS, for tests that neither stop nor fill it."""
    with serving("--metrics-port", "0") as served:
        yield served
