"""The order in which a file lists its pitches changes no digit of any answer."""

import tomllib
from typing import Any

import pytest

from latebreak.service.questions import compare, fly
from latebreak.service.scenario import from_mapping
from latebreak.service.scenario.ready import ready_path

STAFF = ready_path("staff")
assert STAFF is not None
BASE = tomllib.loads(STAFF.read_text(encoding="utf-8"))
NAMES = list(BASE["pitch"])


def listed(names: list[str], expects: dict[str, float]) -> Any:
    """The scenario with its pitches, and what the hitter expects, in some order."""
    hitter = BASE["hitter"] | {"expects": {name: expects[name] for name in names}}
    return from_mapping(BASE | {"pitch": {name: BASE["pitch"][name] for name in names}, "hitter": hitter})


@pytest.mark.parametrize("expects", [(0.36, 0.22, 0.2, 0.22), (0.1, 0.2, 0.3, 0.399999)])
@pytest.mark.parametrize("names", [NAMES[::-1], [NAMES[index] for index in (2, 0, 3, 1)]])
def test_no_digit_changes(names: list[str], expects: tuple[float, ...]) -> None:
    shares = dict(zip(NAMES, expects, strict=True))
    first, other = listed(NAMES, shares), listed(names, shares)
    assert list(other.scenario.pitch) != list(first.scenario.pitch)
    assert other.scenario.hitter.expects == first.scenario.hitter.expects
    for compared in (["sinker"], ["sinker", "curve"]):  # the others are what he has in mind beside them
        before, after = (compare(one, throws=64, pitches=compared).to_dict()["result"] for one in (first, other))
        assert sorted(after.pop("judged_among").split(", ")) == sorted(before.pop("judged_among").split(", "))
        assert after == before
    before, after = (fly(one, throws=64).to_dict()["result"]["pitches"] for one in (first, other))
    assert after == before
