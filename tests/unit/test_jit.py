"""How kernels are compiled: no old machine code after an edit of any kernel module; and what they do uncompiled."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import numba
import numpy as np
import pytest

from latebreak.engine import jit
from latebreak.engine.jit import SOURCES, hash_of_sources, kernel, wide_vectors

ENGINE = Path(jit.__file__).parent


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "one.py").write_text("a = 1\n")
    (tmp_path / "inner").mkdir()
    (tmp_path / "inner" / "two.py").write_text("b = 2\n")
    return tmp_path


def test_hash_is_that_of_the_sources(folder: Path) -> None:
    before = hash_of_sources(folder)
    assert before == hash_of_sources(folder)
    assert 0 <= before < 2**63  # a constant of numba's int64
    (folder / "notes.txt").write_text("no source")
    assert hash_of_sources(folder) == before
    assert hash_of_sources(ENGINE) == SOURCES


@pytest.mark.parametrize("name", ["one.py", "inner/two.py"])
def test_hash_changes_with_any_file(folder: Path, name: str) -> None:
    before = hash_of_sources(folder)
    (folder / name).write_text((folder / name).read_text() + "\n")
    assert hash_of_sources(folder) != before


def test_hash_changes_with_names_and_new_files(folder: Path) -> None:
    hashes = [hash_of_sources(folder)]
    (folder / "three.py").write_text("")
    hashes.append(hash_of_sources(folder))
    (folder / "three.py").rename(folder / "four.py")
    hashes.append(hash_of_sources(folder))
    (folder / "four.py").rename(folder / "inner" / "four.py")
    hashes.append(hash_of_sources(folder))
    assert len(set(hashes)) == 4


def test_kernel_that_does_not_close_over_the_sources_is_refused() -> None:
    def careless(x: np.ndarray) -> float:
        return float(x[0])

    with pytest.raises(TypeError, match="careless must close over `sources`"):
        kernel(careless)


# One flight by the kernel of `kernel.py`, whose equation stands in `equation.py`; then what numba's cache did.
FLY = """
import json
import numpy as np
from latebreak.engine.flight import kernel
from latebreak.engine.flight.equation import FlightConstants
from latebreak.engine.flight.flying import Flight
from latebreak.engine.laws.fitting import fit_laws

laws = fit_laws("saturating_lift", "constant_drag", (0.1, 0.3), (30.0, 45.0))
release = np.zeros((kernel.RELEASE_ROWS, 1))
release[[kernel.Y, kernel.Z, kernel.VY]] = [[17.0], [1.8], [-40.0]]
release[[kernel.SPIN_X, kernel.DRAG_SCALE, kernel.LIFT_SCALE]] = [[-240.0], [1.0], [1.0]]
flight = Flight(FlightConstants(0.018, 0.0369, 9.80665, 0.0, 0.0, 0.0), laws, 4)
height = float(flight.arrivals(release)[kernel.AT_Z, 0])
hits = sum(kernel.fly.stats.cache_hits.values())
print(json.dumps([kernel.__file__, height, hits]))
"""


@pytest.mark.slow
def test_edit_of_another_module_in_a_folder_recompiles(tmp_path: Path) -> None:
    copy = tmp_path / "latebreak" / "engine"
    shutil.copytree(ENGINE, copy, ignore=shutil.ignore_patterns("__pycache__"))

    def fly() -> tuple[float, int]:
        environment = {**os.environ, "PYTHONPATH": str(tmp_path), "PYTHONDONTWRITEBYTECODE": "1"}
        environment.pop("NUMBA_CACHE_DIR", None)
        done = subprocess.run(
            [sys.executable, "-c", FLY], env=environment, capture_output=True, text=True, check=False, timeout=300
        )
        assert done.returncode == 0, done.stderr
        where, height, hits = json.loads(done.stdout)
        assert Path(where).is_relative_to(tmp_path)
        return height, hits

    first, hits = fly()
    assert hits == 0
    assert fly() == (first, 1)  # unchanged sources: from the cache, the same digits
    source = copy / "flight" / "equation.py"
    edited = source.read_text().replace("- constants.gravity", "- 0.5 * constants.gravity")
    assert edited != source.read_text()
    source.write_text(edited)
    lighter, hits = fly()
    assert hits == 0
    # half the gravity for 0.42 s: 0.43 m less drop
    assert lighter - first == pytest.approx(0.25 * 9.80665 * 0.42**2, rel=0.1)


@pytest.mark.slow
@pytest.mark.timeout(1800)
def test_the_laws_of_flight_hold_without_a_compiler() -> None:
    """As Python the kernels are bound to check indices and types. Minutes; threads say nothing there."""
    laws = Path(__file__).parents[1] / "property" / "test_flight_laws.py"
    done = subprocess.run(
        [
            sys.executable, "-m", "pytest", str(laws), "-n", "0", "-q", "-k", "not threads", "--timeout", "1200",
            "-W", "ignore:overflow encountered in scalar:RuntimeWarning",  # whole numbers that wrap on purpose
        ],
        env={**os.environ, "NUMBA_DISABLE_JIT": "1"}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout


def test_wide_vectors_are_asked_for_in_one_function_alone() -> None:
    def wide() -> float:
        wide_vectors()
        return 1.0

    def usual() -> float:
        return 1.0

    texts = []
    for function in (wide, usual):
        compiled: Any = numba.njit(function)
        assert compiled() == 1.0
        texts += compiled.inspect_llvm().values()
    assert ['"prefer-vector-width"="512"' in text for text in texts] == [True, False]
