"""Key of numba's cache for the kernels of this package: a hash of their sources and of the engine's."""

from pathlib import Path

from latebreak.engine import jit

SOURCES = hash((jit.SOURCES, jit.hash_of_sources(Path(__file__).parent))) & (2**63 - 1)
