"""Hitter models by name: built-in, from another package, and from a package that is broken."""

import importlib.metadata
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from plugged import Install, installing

from latebreak.engine.errors import InputError
from latebreak.perception import registry
from latebreak.perception.model import keen_eye, one_glance
from latebreak.perception.trial import trial

ROOT = Path(__file__).parents[2]
DECLARED = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["entry-points"][registry.GROUP]
PATIENT = "from latebreak.perception.model import HitterModel\n\npatient = HitterModel()\n"
MODEL = """
from numpy import float32, nan, ones, zeros
from latebreak.perception.model import HitterModel
from latebreak.perception.seeing import see
from latebreak.perception.belief import believe
from latebreak.perception.forecast import foresee
from latebreak.perception.decision import decide
from latebreak.perception.bat import swing_at
"""


@pytest.fixture(autouse=True)
def _fresh() -> Iterator[None]:
    """Forget what was loaded, before and after."""
    registry._registered.cache_clear()
    yield
    registry._registered.cache_clear()


@pytest.fixture
def install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Install]:
    with installing(tmp_path, monkeypatch, registry.GROUP, "hitters") as put:
        yield put


def test_built_in_models_are_the_declared_ones() -> None:
    assert registry.names() == tuple(sorted(DECLARED))
    assert registry.broken() == {}
    for name, value in DECLARED.items():
        module, _, attribute = value.partition(":")
        assert registry.hitter_model(name) is getattr(importlib.import_module(module), attribute)


def test_the_default_decides_at_one_glance() -> None:
    assert registry.hitter_model(registry.DEFAULT) is one_glance


def test_same_models_installed_and_not(install: Install, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as without_metadata:
        without_metadata.setattr(registry, "entry_points", lambda **_: importlib.metadata.EntryPoints())
        uninstalled = {name: registry.hitter_model(name) for name in registry.names()}
    registry._registered.cache_clear()
    install("latebreak", DECLARED)
    assert {name: registry.hitter_model(name) for name in registry.names()} == uninstalled
    assert registry.broken() == {}


def test_model_of_another_package(install: Install) -> None:
    install("plain", {"patient": "plain_hitters:patient"}, PATIENT)
    assert registry.hitter_model("patient") is sys.modules["plain_hitters"].patient
    assert set(registry.names()) == {"patient", *DECLARED}
    assert list(registry.names()) == sorted(registry.names())


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("import no_such_module_anywhere", "no_such_module_anywhere"),
        ("raise SystemExit(3)", "SystemExit: 3"),
        ("raise ValueError('two\\nlines')", "ValueError: two lines"),
        ("other = 1", "AttributeError"),
        ("patient = 0.2", "is not a HitterModel"),
        ("def patient(): return None", "is not a HitterModel"),
        ("from latebreak.perception.model import HitterModel as patient", "is not a HitterModel"),  # the class itself
        (
            MODEL + "patient = HitterModel(parameters=lambda p: None)",
            "its parameters gave NoneType instead of Parameters",
        ),
        (
            MODEL + "patient = HitterModel(parameters=lambda p: p.with_(lapse=nan))",
            "the lapse of its parameters is not finite",
        ),
        (
            MODEL + "patient = HitterModel(parameters=lambda p: p.columns([0]))",
            "of its parameters is float64 of shape (1,) instead of float64 of shape (2,)",
        ),
        (MODEL + "patient = HitterModel(see=lambda *a: 1 / 0)", "its see failed with ZeroDivisionError"),
        (MODEL + "patient = HitterModel(see=lambda *a: None)", "its see gave NoneType instead of ndarray"),
        (
            MODEL + "patient = HitterModel(see=lambda *a: see(*a)[:3])",
            "the array of its see is float64 of shape (3, 2, 5) instead of float64 of shape (16, 2, 5)",
        ),
        (
            MODEL + "patient = HitterModel(see=lambda *a: see(*a).astype(float32))",
            "the array of its see is float32 of shape",
        ),
        (MODEL + "patient = HitterModel(see=lambda *a: nan * see(*a))", "the array of its see is not finite"),
        (
            MODEL + "patient = HitterModel(believe=lambda *a: 2 * believe(*a) - 1)",
            "its believe gave chances outside 0 to 1",
        ),
        (
            MODEL + "patient = HitterModel(believe=lambda *a: 0.5 * believe(*a))",
            "the beliefs of its believe do not sum to 1",
        ),
        (
            MODEL + "patient = HitterModel(foresee=lambda glance, *a: glance)",
            "the array of its foresee is float64 of shape (16, 2, 5)",
        ),
        (
            MODEL + "patient = HitterModel(foresee=lambda g, b, *a: foresee(g, b[:1], *a)[:, :1])",
            "the array of its foresee is float64 of shape (6, 1, 5)",
        ),
        (
            MODEL + "patient = HitterModel(decide=lambda *a: decide(*a)[0])",
            "the array of its decide is float64 of shape (5,)",
        ),
        (
            MODEL + "patient = HitterModel(decide=lambda f, p, zone, inside: decide(f, p, zone, inside))",
            "its decide failed with TypeError",
        ),
        (MODEL + "patient = HitterModel(decide=lambda *a: 1 + decide(*a))", "its decide gave chances outside 0 to 1"),
        (
            MODEL + "patient = HitterModel(decide=lambda *a: decide(*a) if a[-1] is None else 'none')",
            "its decide gave str instead of ndarray",
        ),
        (
            MODEL + "patient = HitterModel(swing_at=lambda *a: nan * swing_at(*a))",
            "the array of its swing_at is not finite",
        ),
        (
            MODEL + "patient = HitterModel(swing_at=lambda *a: -swing_at(*a))",
            "its swing_at gave chances outside 0 to 1",
        ),
    ],
)
def test_broken_model_is_one_message_and_spares_the_rest(install: Install, code: str, said: str) -> None:
    install("faulty", {"patient": "faulty_hitters:patient"}, code)
    assert list(registry.broken()) == ["patient"]
    message = registry.broken()["patient"]
    for words in ("hitter model 'patient'", "'faulty'", said):
        assert words in message
    assert "\n" not in message
    with pytest.raises(InputError) as caught:
        registry.hitter_model("patient")
    (fault,) = caught.value.faults
    assert fault.problem == message
    assert fault.remedy
    assert all(name in fault.allowed for name in DECLARED)
    assert registry.names() == tuple(sorted(DECLARED))
    assert registry.hitter_model("keen_eye") is keen_eye


@pytest.mark.parametrize("name", list(DECLARED))
def test_built_in_models_would_stand_the_trial_of_a_stranger(name: str) -> None:
    trial(registry.hitter_model(name))


def test_taken_name_stays_ours(install: Install) -> None:
    install("rival", {"one_glance": "rival_hitters:patient"}, PATIENT)
    assert registry.hitter_model("one_glance") is one_glance
    message = registry.broken()["one_glance"]
    assert "'latebreak' and 'rival'" in message
    assert "that of 'latebreak' is used" in message


def test_name_of_two_others_is_refused(install: Install) -> None:
    install("first", {"patient": "first_hitters:patient"}, PATIENT)
    install("second", {"patient": "second_hitters:patient"}, PATIENT)
    assert "patient" not in registry.names()
    with pytest.raises(InputError, match="'first' and 'second'; none of them is used"):
        registry.hitter_model("patient")


def test_unknown_name_lists_the_choices() -> None:
    with pytest.raises(InputError) as caught:
        registry.hitter_model("no\nsuch")
    (fault,) = caught.value.faults
    assert "'no\\nsuch'" in fault.problem
    assert fault.allowed == "one of " + ", ".join(sorted(DECLARED))


def test_loaded_once_and_not_at_import(install: Install) -> None:
    install("counted", {"patient": "counted_hitters:patient"}, PATIENT)
    assert "counted_hitters" not in sys.modules
    model = registry.hitter_model("patient")
    assert "counted_hitters" in sys.modules
    assert registry.hitter_model("patient") is model


def test_messages_are_a_copy() -> None:
    registry.broken()["x"] = "written by a caller"
    assert registry.broken() == {}
