"""Compiled kernels where they can't be kept, and where what was kept is damaged: compiled anew, the same number."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

# Four kernels; what they give, what numba took from its cache, and where that lies.
KERNELS = """
import json
from latebreak.engine.jit import kernel

def _compile(sources):
    @kernel
    def first(x):
        return 1.0 * x + 0 * sources

    @kernel
    def second(x):
        return 2.0 * x + 0 * sources

    @kernel
    def third(x):
        return 3.0 * x + 0 * sources

    @kernel
    def fourth(x):
        return 4.0 * x + 0 * sources

    return first, second, third, fourth

kernels = _compile(1)
numbers = [one(1.5) for one in kernels]
hits = sum(sum(one.stats.cache_hits.values()) for one in kernels)
print(json.dumps([numbers, hits, kernels[0].stats.cache_path]))
"""
NUMBERS = [1.5, 3.0, 4.5, 6.0]


@pytest.fixture
def module(tmp_path: Path) -> Path:
    """A module of kernels in a folder where nothing can be written beside it, whoever asks."""
    folder = tmp_path / "installed"
    folder.mkdir()
    path = folder / "kernels.py"
    path.write_text(KERNELS)
    (folder / "__pycache__").write_text("no folder")
    return path


def run(module: Path, *, start: str = "", **environment: str) -> tuple[list[float], int, str | None, str]:
    """Run a module: its numbers, how much came from the cache, where that is, and stderr."""
    kept = {key: value for key, value in os.environ.items() if key not in {"HOME", "XDG_CACHE_HOME", "NUMBA_CACHE_DIR"}}
    paths = os.pathsep.join(path for path in sys.path if path)
    words = f"{start}\nimport runpy; runpy.run_path({str(module)!r}, run_name='kernels')"
    done = subprocess.run(
        [sys.executable, "-c", words], capture_output=True, text=True, check=False, timeout=300,
        cwd=module.parent, env={**kept, "PYTHONPATH": paths, **environment},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    numbers, hits, place = json.loads(done.stdout)
    return numbers, hits, place, done.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="no such homes there")
def test_nowhere_to_write(module: Path) -> None:
    """A read-only home and read-only packages: compiled all the same, and said once for all kernels."""
    numbers, hits, place, err = run(module, HOME="/dev/null")
    assert (numbers, hits, place) == (NUMBERS, 0, None)
    assert err.count("\n") == 1
    assert "compiled kernels are not kept" in err
    assert "NUMBA_CACHE_DIR" in err


@pytest.mark.skipif(sys.platform == "win32", reason="no such accounts there")
def test_nobody_knows_the_home(module: Path) -> None:
    """No HOME, and no account of the user's number: nothing is laid into the folder of the moment either."""
    start = "import pwd\ndef none(number): raise KeyError(number)\npwd.getpwuid = none"
    before = sorted(entry.name for entry in module.parent.iterdir())
    numbers, _, place, err = run(module, start=start)
    assert (numbers, place) == (NUMBERS, None)
    assert err.count("compiled kernels are not kept") == 1
    assert sorted(entry.name for entry in module.parent.iterdir()) == before


def test_a_damaged_cache_is_built_anew(module: Path, tmp_path: Path) -> None:
    """One kernel has an empty index, one half an index, one no machine code, one half of it."""
    cache = str(tmp_path / "cache")
    assert run(module, NUMBA_CACHE_DIR=cache)[1] == 0
    for name, share in {"first*.nbi": 0.0, "second*.nbi": 0.5, "third*.nbc": 0.0, "fourth*.nbc": 0.5}.items():
        (path,) = Path(cache).rglob(f"kernels._compile.locals.{name}")
        path.write_bytes(path.read_bytes()[: int(share * path.stat().st_size)])
    for taken in (0, len(NUMBERS)):
        numbers, hits, _, err = run(module, NUMBA_CACHE_DIR=cache)
        assert (numbers, hits, err) == (NUMBERS, taken, "")


@pytest.mark.skipif(sys.platform == "win32", reason="no such limits there")
def test_a_full_disk_keeps_nothing_and_is_no_error(module: Path, tmp_path: Path) -> None:
    start = "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, (300, 300))"
    numbers, _, _, err = run(module, start=start, NUMBA_CACHE_DIR=str(tmp_path / "cache"))
    assert numbers == NUMBERS
    assert err.count("compiled kernels are not kept (OSError: [Errno 27] File too large") == 1
