"""Packages with plug-ins, installed for a test: real metadata and real modules in a folder on the path."""

import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import pytest

#: Distribution, what it declares (name to "module:attribute"), and the code of its one module, if it has one.
Install = Callable[..., None]


def write_distribution(
    folder: Path, name: str, declared: Mapping[str, Mapping[str, str]], modules: Mapping[str, str], version: str = "1.0"
) -> None:
    """Write what an installed distribution consists of: its entry points by group, and its modules."""
    info = folder / f"{name.replace('-', '_')}-{version}.dist-info"
    info.mkdir(parents=True)
    (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n")
    lines = [f"[{group}]\n" + "".join(f"{k} = {v}\n" for k, v in names.items()) for group, names in declared.items()]
    (info / "entry_points.txt").write_text("".join(lines))
    for module, code in modules.items():
        (folder / f"{module}.py").write_text(code)


@contextmanager
def installing(folder: Path, monkeypatch: pytest.MonkeyPatch, group: str, ending: str) -> Iterator[Install]:
    """Give a function that installs plug-ins of a group; a distribution's module is its name and the ending."""
    modules = []

    def put(distribution: str, declared: Mapping[str, str], code: str = "") -> None:
        module = f"{distribution}_{ending}"
        modules.append(module)
        write_distribution(folder / distribution, distribution, {group: declared}, {module: code} if code else {})
        monkeypatch.syspath_prepend(str(folder / distribution))

    yield put
    for module in modules:
        sys.modules.pop(module, None)
