"""How the kernels are compiled: the options, decided once.

numba keys a cached function by its own source file alone, so an edit in another kernel module would leave old machine
code in use. Every cached entry point therefore closes over `SOURCES`, a hash of all kernel sources: numba takes the
values of closed-over variables into its key.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any, ParamSpec, TypeVar, cast

import numba
from numba.extending import intrinsic

from latebreak.engine.kernel_cache import cache_of

P = ParamSpec("P")
R = TypeVar("R")

# No "nnan" or "ninf": a throw that blows up must stay visible as NaN or infinity until it is given its outcome.
_FASTMATH = {"contract", "reassoc", "arcp", "nsz"}


def hash_of_sources(folder: Path) -> int:
    """Hash of every Python file of a folder and of the folders in it, for the key of numba's cache.

    Parameters
    ----------
    folder : Path
        Folder of kernel modules.

    Returns
    -------
    int
        63-bit hash of names and contents.
    """
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*.py")):
        digest.update(path.relative_to(folder).as_posix().encode())
        digest.update(path.read_bytes())
    return int.from_bytes(digest.digest()[:8], "big") >> 1


SOURCES = hash_of_sources(Path(__file__).parent)


@intrinsic
def _wide_vectors(_context: Any) -> Any:
    """Let the compiler use vectors of eight doubles in the kernel that calls this, where the processor has them.

    LLVM prefers four even there, since the first processors with eight slowed down for them. Multiplications and
    additions run at twice the pace with eight. An attribute of one function: other compiled code stays as it is.
    """

    def generate(context: Any, builder: Any, _signature: Any, _arguments: Any) -> Any:
        set.add(builder.function.attributes, '"prefer-vector-width"="512"')  # llvmlite's own `add` knows no pairs
        return context.get_dummy_value()

    return numba.types.none(), generate


#: Whether numba compiles at all: NUMBA_DISABLE_JIT leaves Python.
_COMPILES = hasattr(numba.njit(lambda: None), "py_func")
wide_vectors = cast("Callable[[], None]", _wide_vectors if _COMPILES else lambda: None)


def inlined(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a scalar physics function so that LLVM inlines it into the loops that call it."""
    jit = numba.njit(forceinline=True, error_model="numpy", fastmath=_FASTMATH)
    return cast("Callable[P, R]", jit(function))


def lane_loop(function: Callable[P, R]) -> Callable[P, R]:
    """Make a function that loops over the throws of a pass a part of the kernels that call it.

    It is inlined before anything is compiled: a function of its own would be vectorised without the kernel's constants.
    """
    return cast("Callable[P, R]", numba.njit(inline="always", error_model="numpy", fastmath=_FASTMATH)(function))


def kernel(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a function over arrays, cached on disk, that releases the interpreter lock.

    The function must close over `SOURCES` (see the module's text); others are refused.

    Raises
    ------
    TypeError
        If the function does not close over a source hash.
    """
    if "sources" not in function.__code__.co_freevars:
        raise TypeError(f"{function.__name__} must close over `sources`, or numba's cache may return old machine code")
    compiled: Any = numba.njit(nogil=True, error_model="numpy", fastmath=_FASTMATH)(function)
    if hasattr(compiled, "enable_caching"):  # not where NUMBA_DISABLE_JIT leaves Python
        compiled._cache = cache_of(function)  # in place of `cache=True`, which gives up where it can't write
    return cast("Callable[P, R]", compiled)
