"""A lock on an open file that the system lets go when the process ends, however it ends."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import BinaryIO

#: Where the locked byte stands on systems that lock bytes and keep others from reading them: beyond any content.
_FAR_BYTE = 2**40

if sys.platform == "win32":
    import msvcrt

    def _lock(file: BinaryIO) -> None:
        file.seek(_FAR_BYTE)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _lock(file: BinaryIO) -> None:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


def lock(file: BinaryIO, path: str | os.PathLike[str]) -> bool:
    """Lock an open file for this process alone.

    Parameters
    ----------
    file : binary file
        Open for writing.
    path : str or path-like
        Under which it was opened.

    Returns
    -------
    bool
        False where another process holds the lock, or has taken the file away meanwhile.
    """
    try:
        _lock(file)
        return os.path.samestat(os.fstat(file.fileno()), Path(path).stat())
    except OSError:
        return False
