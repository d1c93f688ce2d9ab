"""Servers for many tests."""

from collections.abc import Iterator

import pytest
from sending import GIVES_BACK, MOST_WORK, Sender
from serving import Served, serving


@pytest.fixture(scope="session")
def server() -> Iterator[Served]:
    """A server on this machine with metrics, without token and TLS, for tests that neither stop nor fill it."""
    with serving("--metrics-port", "0") as served:
        yield served


@pytest.fixture(scope="module")
def sender() -> Iterator[Sender]:
    """Send anything to a server that takes on little work and gives memory back at once."""
    with serving("--most-work", str(MOST_WORK), env=GIVES_BACK) as served:
        yield Sender(served)
