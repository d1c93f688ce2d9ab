"""What an answer object is as JSON, and that it comes back."""

from dataclasses import dataclass, field
from math import inf, isnan, nan

import numpy as np
import pytest

from latebreak.service.plain import LIFTED, OPTIONAL, built, plain
from latebreak.service.questions.answer import Estimate


@dataclass(frozen=True)
class Inner:
    value: float
    low: float | None = None


@dataclass(frozen=True)
class Outer:
    names: tuple[str, ...]
    table: dict[str, Inner]
    own: Inner = field(metadata=LIFTED)
    number: float | None
    chance: float | None = field(default=None, metadata=OPTIONAL)
    note: str = field(default="", metadata=OPTIONAL)
    few: bool = field(default=False, metadata=OPTIONAL)
    hidden: int = field(default=1, compare=False)


FULL = Outer(("a", "b"), {"x": Inner(1.0, 0.5)}, Inner(2.0, 1.0), 3.0, 0.0, "note", True)
EMPTY = Outer((), {}, Inner(2.0), None)


def test_keys() -> None:
    assert plain(FULL) == {
        "names": ["a", "b"], "table": {"x": {"value": 1.0, "low": 0.5}}, "value": 2.0, "low": 1.0, "number": 3.0,
        "chance": 0.0, "note": "note", "few": True,
    }  # fmt: skip
    assert plain(EMPTY) == {"names": [], "table": {}, "value": 2.0, "low": None, "number": None}


@pytest.mark.parametrize("one", [FULL, EMPTY])
def test_it_comes_back(one: Outer) -> None:
    assert built(Outer, plain(one)) == one


@pytest.mark.parametrize("number", [nan, inf, -inf])
def test_numbers_that_are_not_finite(number: float) -> None:
    assert plain(Inner(number)) == {"value": None, "low": None}
    assert isnan(built(Inner, {}).value)
    assert plain(np.array([1.0, number])) == [1.0, None]
    assert plain({"estimate": Estimate(number, 0.1)}) == {"estimate": {"value": None, "sampling_error": 0.1}}


def test_a_missing_part_is_named() -> None:
    with pytest.raises(KeyError, match=r"Outer\.names"):
        built(Outer, {"table": {}, "value": 1.0})
