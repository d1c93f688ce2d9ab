"""Where compiled kernels are kept from one start to the next, and what becomes of a place that takes or holds nothing.

numba refuses to compile at all where it finds no folder to write to, and ends with the error of the reader where a file
of its cache is empty or cut off, as a full disk or a power cut leaves it. A cache only saves time: here the kernel is
compiled anew in both cases.
"""

from __future__ import annotations

import logging
import multiprocessing
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any

from numba.core.caching import CompileResultCacheImpl, FunctionCache, NullCache
from numba.core.runtime.nrt import rtsys

LOG = logging.getLogger(__name__)

#: Folders of the user's home, which numba lays into the folder of the moment where nobody knows the home.
_OF_THE_HOME = ("UserWideCacheLocator", "ZipCacheLocator")


def cache_of(function: Callable[..., Any]) -> Any:
    """Return the cache of a kernel; one that keeps nothing where no folder can be written to.

    Parameters
    ----------
    function : callable
        The Python function, before it is compiled.

    Returns
    -------
    numba.core.caching cache
        For a dispatcher.
    """
    try:
        return _KernelCache(function)  # type: ignore[no-untyped-call]
    except RuntimeError:  # numba: "no locator available"
        _say("there is no folder that they could be kept in")
        return NullCache()


class _Place(CompileResultCacheImpl):
    """Where a cache may lie: NUMBA_CACHE_DIR, beside the source, in the home."""

    def __init__(self, function: Callable[..., Any]) -> None:
        try:
            Path.home()
        except RuntimeError:  # neither HOME nor an account, as containers may have it
            self._locator_classes = [one for one in self._locator_classes if not one.__name__.endswith(_OF_THE_HOME)]
        super().__init__(function)  # type: ignore[no-untyped-call]


class _KernelCache(FunctionCache):
    _impl_class = _Place

    def load_overload(self, sig: Any, target_context: Any) -> Any:
        """Return the compiled kernel; None where there is none, or what there is can't be read.

        numba would first import all that a compilation may need, a third of a second; machine code needs the run time
        alone. Where something has to be compiled after all, the compiler imports it.
        """
        try:
            rtsys.initialize(target_context)
            with self._guard_against_spurious_io_errors():
                return self._load_overload(sig, target_context)  # type: ignore[no-untyped-call]
        except Exception:  # whatever unpickling half a file raises; its index is then begun anew
            with suppress(OSError):
                self.flush()  # type: ignore[no-untyped-call]
            return None

    def save_overload(self, sig: Any, data: Any) -> None:
        """Keep a compiled kernel where the disk takes it."""
        try:
            super().save_overload(sig, data)  # type: ignore[no-untyped-call]
        except (
            Exception
        ) as error:  # no space, no right to write, or an index that neither reads nor can be written anew
            _say(f"{type(error).__name__}: {error}")


@cache
def _say(reason: str) -> None:
    """Say once, and not in worker processes, that the next start compiles again."""
    if multiprocessing.parent_process() is None:
        LOG.warning(
            "compiled kernels are not kept (%s): every start compiles them again, which takes up to a minute; name a "
            "folder that can be written to in NUMBA_CACHE_DIR",
            reason,
        )
