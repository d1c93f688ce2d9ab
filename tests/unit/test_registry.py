"""Force laws by name: built-in, from another package, and from a package that is broken."""

import importlib.metadata
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from plugged import Install, installing

from latebreak.engine.errors import InputError
from latebreak.engine.laws import registry

ROOT = Path(__file__).parents[2]
DECLARED = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["entry-points"][registry.GROUP]


@pytest.fixture(autouse=True)
def _fresh() -> Iterator[None]:
    """Forget what was loaded, before and after."""
    registry.registered.cache_clear()
    yield
    registry.registered.cache_clear()


@pytest.fixture
def install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Install]:
    with installing(tmp_path, monkeypatch, registry.GROUP, "laws") as put:
        yield put


def test_built_in_laws_are_the_declared_ones() -> None:
    assert {*registry.names("lift"), *registry.names("drag")} == set(DECLARED)
    assert registry.broken() == {}
    for name in DECLARED:
        law = registry.force_law(name)
        assert law.name == name
        assert law.kind == name.rpartition("_")[2]
        assert law.distribution == "latebreak"
        assert f"{law.function.__module__}:{law.function.__name__}" == DECLARED[name]


def test_same_laws_installed_and_not(install: Install, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as without_metadata:
        without_metadata.setattr(registry, "entry_points", lambda **_: importlib.metadata.EntryPoints())
        uninstalled = {name: registry.force_law(name) for name in (*registry.names("lift"), *registry.names("drag"))}
    registry.registered.cache_clear()
    install("latebreak", DECLARED)
    assert {
        name: registry.force_law(name) for name in (*registry.names("lift"), *registry.names("drag"))
    } == uninstalled
    assert registry.broken() == {}


def test_law_of_another_package(install: Install) -> None:
    install(
        "plain",
        {"linear_lift": "plain_laws:linear_lift", "spinning_drag": "plain_laws:spinning_drag"},
        "def linear_lift(s):\n    return 0.9 * s\n\ndef spinning_drag(v, s):\n    return 0.3 + 0.1 * s + 0 * v\n",
    )
    lift = registry.force_law("linear_lift")
    assert (lift.kind, lift.distribution) == ("lift", "plain")
    np.testing.assert_allclose(lift.function(np.array([0.0, 0.5])), [0.0, 0.45])
    drag = registry.force_law("spinning_drag")
    assert (drag.kind, drag.distribution) == ("drag", "plain")
    assert set(registry.names("lift")) == {"linear_lift"} | {name for name in DECLARED if name.endswith("_lift")}
    assert set(registry.names("drag")) == {"spinning_drag"} | {name for name in DECLARED if name.endswith("_drag")}


@pytest.mark.parametrize(
    ("name", "code", "said"),
    [
        ("bad_lift", "import no_such_module_anywhere", "no_such_module_anywhere"),
        ("bad_lift", "raise SystemExit(3)", "SystemExit: 3"),
        ("bad_lift", "other = 1", "AttributeError"),
        ("bad_lift", "bad_lift = 0.2", "is not a function"),
        ("bad_lift", "def bad_lift(v, s): return s", "missing 1 required positional argument"),
        ("bad_drag", "def bad_drag(v): return v", "takes 1 positional argument but 2 were given"),
        ("bad_lift", "def bad_lift(s): return 0.2", "gave shape ()"),
        ("bad_drag", "def bad_drag(v, s): return s[:-1]", "gave shape (532,)"),
        ("bad_lift", "def bad_lift(s): return 1.0 / (1.0 - s)", "not finite everywhere on S from 0 to 2"),
        ("bad_drag", "def bad_drag(v, s): return (30.0 - v) ** 0.5", "v from 5 to 65 m/s"),
        ("bad_lift", "def bad_lift(s): return s + 1j", "complex128"),
        ("bad_lift", "def bad_lift(s): return ['high'] * len(s)", "instead of real numbers"),
        ("bad_lift", "def bad_lift(s): raise ValueError('two\\nlines')", "ValueError: two lines"),
        ("bad", "def bad(s): return s", "must end in _lift or _drag"),
    ],
)
def test_broken_law_is_one_message_and_spares_the_rest(install: Install, name: str, code: str, said: str) -> None:
    install("faulty", {name: f"faulty_laws:{name}", "good_lift": "faulty_good_laws:law"}, code)
    install("faulty_good", {}, "def law(s): return s")
    assert list(registry.broken()) == [name]
    message = registry.broken()[name]
    assert repr(name) in message
    assert "'faulty'" in message
    assert said in message
    assert "\n" not in message
    with pytest.raises(InputError) as caught:
        registry.force_law(name)
    assert message in str(caught.value)
    assert {"good_lift", "saturating_lift"} <= set(registry.names("lift"))
    assert name not in (*registry.names("lift"), *registry.names("drag"))


def test_taken_name_stays_ours(install: Install) -> None:
    install("rival", {"power_lift": "rival_laws:power_lift"}, "def power_lift(s): return 2 * s")
    assert registry.force_law("power_lift").distribution == "latebreak"
    message = registry.broken()["power_lift"]
    assert "'latebreak' and 'rival'" in message
    assert "that of 'latebreak' is used" in message


def test_name_of_two_others_is_refused(install: Install) -> None:
    install("first", {"twin_lift": "first_laws:twin_lift"}, "def twin_lift(s): return s")
    install("second", {"twin_lift": "second_laws:twin_lift"}, "def twin_lift(s): return s")
    assert "twin_lift" not in registry.names("lift")
    with pytest.raises(InputError, match="'first' and 'second'; none of them is used"):
        registry.force_law("twin_lift")


def test_unknown_name_lists_the_choices() -> None:
    with pytest.raises(InputError) as caught:
        registry.force_law("no\nsuch_lift")
    for name in DECLARED:
        assert name in str(caught.value)
    assert "'no\\nsuch_lift'" in str(caught.value)


def test_loaded_once_and_not_at_import(install: Install) -> None:
    install("counted", {"counted_lift": "counted_laws:counted_lift"}, "def counted_lift(s): return s")
    assert "counted_laws" not in sys.modules
    law = registry.force_law("counted_lift")
    assert "counted_laws" in sys.modules
    assert registry.force_law("counted_lift") is law


def test_messages_are_a_copy() -> None:
    registry.broken()["x_lift"] = "written by a caller"
    assert registry.broken() == {}
