"""What engine and perception offer to a notebook: it is there, it is documented, and the examples say the truth."""

import doctest
import subprocess
import sys
from types import ModuleType
from typing import TYPE_CHECKING

import pytest

import latebreak.engine
import latebreak.perception
from latebreak.service.client import AsyncClient, Client
from latebreak.service.questions import fly
from latebreak.service.scenario import load

if TYPE_CHECKING:
    from collections.abc import Coroutine
    from typing import Any, assert_type

    from latebreak.service.questions import Answer, CompareResult, FlyResult

PACKAGES = [latebreak.engine, latebreak.perception]


@pytest.mark.parametrize("package", PACKAGES)
def test_examples(package: ModuleType) -> None:
    done = doctest.testmod(package)
    assert done.attempted > 5
    assert done.failed == 0


@pytest.mark.parametrize(("package", "name"), [(one, name) for one in PACKAGES for name in one._HOME])
def test_public_names(package: ModuleType, name: str) -> None:
    assert name in dir(package)
    value = getattr(package, name)
    assert value.__doc__


@pytest.mark.parametrize("package", PACKAGES)
def test_other_names_are_refused(package: ModuleType) -> None:
    with pytest.raises(AttributeError, match="has no attribute 'curve_ball'"):
        _ = package.curve_ball


def test_the_package_itself_loads_no_kernel() -> None:
    code = "import sys, latebreak.engine, latebreak.perception; sys.exit('numba' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_questions_take_a_dict() -> None:
    loaded = load("two-grips")
    asked = fly(dict(loaded.tables), throws=100)
    assert asked.to_dict() == fly(loaded, throws=100).to_dict()


if TYPE_CHECKING:  # what the type checker must say of the clients' methods; an error that is not there is one

    def _typed(client: Client, other: AsyncClient) -> None:
        assert_type(client.fly("staff", throws=100), Answer[FlyResult])
        _ = assert_type(other.compare("staff"), Coroutine[Any, Any, Answer[CompareResult]])
        client.fly("staff", throw=100)  # type: ignore[call-arg]
        client.reach("staff", pitch="curve")  # type: ignore[call-arg]
        client.compare("staff", intervals="no")  # type: ignore[arg-type]
        _ = other.levers("staff", pitch=1)  # type: ignore[arg-type]
        Client("localhost:1", tokn="secret")  # type: ignore[call-arg]
