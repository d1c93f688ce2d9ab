"""A sender of anything, for many tests."""

from collections.abc import Iterator

import pytest
from sending import GIVES_BACK, MOST_WORK, Sender
from serving import serving


@pytest.fixture(scope="session")
def sender() -> Iterator[Sender]:
    """Send anything to a server that takes on little work and gives memory back at once."""
    with serving("--most-work", str(MOST_WORK), env=GIVES_BACK) as served:
        yield Sender(served)
