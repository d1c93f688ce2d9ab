"""Guards of the layout: one namespace package in several source roots, small modules, nothing unagreed at the top."""

import importlib
from pathlib import Path

import pytest

TOP = Path(__file__).parents[2]
#: Entries of the top level, dot files aside.
AGREED = {
    "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml",
    "proto", "engine", "perception", "service", "scenarios", "benchmarks", "tests",
}  # fmt: skip
#: Source roots, each with the one portion of `latebreak` that it holds.
PORTIONS = {"engine": "engine", "perception": "perception", "service": "service", "proto": "v1"}
ROOTS = [root for root in PORTIONS if (TOP / root).is_dir()]
MODULES = [path for root in ROOTS for path in (TOP / root).rglob("*.py") if "_pb2" not in path.name]
#: A module holds one idea; the aim is 250 lines, this is where it has failed.
LONGEST = 320


def test_the_top_level_holds_what_was_agreed() -> None:
    left_by_tools = {"build", "dist"}
    here = {entry.name for entry in TOP.iterdir() if not entry.name.startswith(".") and entry.suffix != ".egg-info"}
    assert here - left_by_tools <= AGREED


def test_every_source_root_is_there() -> None:
    assert {"engine", "perception", "service"} <= set(ROOTS)


@pytest.mark.parametrize("root", ROOTS)
def test_no_root_claims_the_namespace(root: str) -> None:
    """One `latebreak/__init__.py` anywhere would hide the portions of every other root."""
    assert not (TOP / root / "latebreak" / "__init__.py").exists()
    assert not (TOP / root / "__init__.py").exists()


@pytest.mark.parametrize("root", ROOTS)
def test_a_source_root_holds_its_portion_alone(root: str) -> None:
    portion = {path.name for path in (TOP / root / "latebreak").iterdir() if path.name != "__pycache__"}
    assert portion == {PORTIONS[root]}


@pytest.mark.parametrize("root", ["engine", "perception", "service"])
def test_every_folder_of_modules_is_a_package(root: str) -> None:
    folders = {path.parent for path in MODULES if path.is_relative_to(TOP / root)}
    assert all((folder / "__init__.py").is_file() for folder in folders)


def test_the_namespace_has_no_file() -> None:
    assert importlib.import_module("latebreak").__file__ is None


def test_modules_are_short() -> None:
    lengths = {path.relative_to(TOP): len(path.read_text(encoding="utf-8").splitlines()) for path in MODULES}
    assert {path: length for path, length in lengths.items() if length >= LONGEST} == {}


def test_no_module_is_a_drawer() -> None:
    """Names that say nothing gather everything."""
    assert not {path.stem for path in MODULES} & {"utils", "helpers", "common", "misc"}
