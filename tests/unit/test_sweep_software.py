"""What computes a sweep: the versions of latebreak, of its libraries, and of the plug-ins that the sweep uses."""

import sys
from collections.abc import Callable, Iterator
from importlib.metadata import version
from pathlib import Path

import pytest
from plugged import write_distribution
from starters import starter

from latebreak.engine.laws import registry
from latebreak.service.sweep import software as module
from latebreak.service.sweep.plan import Options, plan_changes
from latebreak.service.sweep.software import differences, here, software

LAW = "force law odd_lift"
Install = Callable[[str, float], None]


@pytest.fixture
def install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Install]:
    """Install a package with a lift law of some factor, and forget what was loaded of the one before."""

    def forget() -> None:
        sys.modules.pop("odd_laws", None)
        registry.registered.cache_clear()
        module._version.cache_clear()

    def put(number: str, factor: float) -> None:
        folder = tmp_path / f"{number}-{factor}"
        declared = {
            registry.GROUP: {"odd_lift": "odd_laws:odd_lift"},
            "latebreak.hitter_models": {"odd_hitter": "odd_laws:odd_hitter"},
        }
        code = f"def odd_lift(spin):\n    return {factor} * spin\n"
        write_distribution(folder, "odd", declared, {"odd_laws": code}, version=number)
        monkeypatch.syspath_prepend(str(folder))
        forget()

    yield put
    monkeypatch.undo()
    forget()


def test_latebreak_and_its_libraries_are_always_there() -> None:
    found = software(["saturating_lift", "no_such_lift"], ["one_glance"])
    assert found == {name: version(name) for name in ("latebreak", "numpy", "numba")}  # ours goes by our version


def test_a_plug_in_is_told_by_its_package_its_version_and_what_it_says(install: Install) -> None:
    install("1.0", 0.5)
    before = software(["odd_lift"], ["odd_hitter"])
    assert before[LAW].startswith("odd 1.0, values ")
    assert before["hitter model odd_hitter"] == "odd 1.0"
    assert differences(before, here(before)) == ""
    install("1.0", 0.5 + 1e-5)  # another law in the same version
    words = differences(before, here(before))
    assert words.startswith(f"{LAW} odd 1.0, values ")
    assert words.endswith(f" instead of {before[LAW]}")
    install("1.1", 0.5)
    assert here([LAW])[LAW] == before[LAW].replace("1.0", "1.1", 1)


def test_digits_in_which_machines_differ_are_none_of_it(install: Install) -> None:
    install("1.0", 0.5)
    before = here([LAW])
    install("1.0", 0.5 * (1.0 + 2.0**-52))
    assert here([LAW]) == before


def test_what_a_machine_lacks_is_said() -> None:
    assert differences({LAW: "odd 1.0"}, here([LAW])) == f"{LAW} none instead of odd 1.0"


def test_a_sweep_knows_the_plug_ins_that_it_uses_and_no_others(install: Install) -> None:
    install("1.0", 0.5)
    base = starter()
    for change, used in (
        ({"pitch.curve.speed_mph": 75.0}, False),
        ({"ball.lift_law": "odd_lift"}, True),
        ({"ball.lift_law": "power_lift"}, False),
    ):
        ask, _ = plan_changes(base, [{}, change], Options(question="fly"))
        assert (LAW in ask.software) == used
    ask, _ = plan_changes({**base, "ball": {"lift_law": "odd_lift"}}, [{}], Options(question="fly"))
    assert LAW in ask.software
