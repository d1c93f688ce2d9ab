"""Public names of a package that are imported when they are asked for: the kernels take half a second to import."""

from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any


def on_request(package: str, home: Mapping[str, str]) -> tuple[Callable[[str], Any], Callable[[], list[str]]]:
    """Make `__getattr__` and `__dir__` of a package.

    Parameters
    ----------
    package : str
        Its name.
    home : mapping of str to str
        Of each public name, the module below the package that has it.
    """

    def get(name: str) -> Any:
        if name not in home:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        return getattr(import_module(f"{package}.{home[name]}"), name)

    def names() -> list[str]:
        return [*vars(import_module(package)), *home]

    return get, names
