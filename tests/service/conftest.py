"""A sender of anything, and a server that is soon full, for many tests."""

from collections.abc import Iterator

import pytest
from long_work import ANY_WORK
from sending import GIVES_BACK, MOST_WORK, Sender
from serving import Served, serving


@pytest.fixture(scope="session")
def sender() -> Iterator[Sender]:
    """Send anything to a server that takes on little work and gives memory back at once."""
    with serving("--most-work", str(MOST_WORK), env=GIVES_BACK) as served:
        yield Sender(served)


@pytest.fixture(scope="module")
def tight() -> Iterator[Served]:
    """A server that works on one request at a time, lets one wait, and takes on any amount of work."""
    with serving("--at-once", "1", "--waiting", "1", *ANY_WORK, "--metrics-port", "0") as served:
        yield served
