"""Runs as large as are allowed: slow, by the command in the contributor guide."""

import json
import resource
import subprocess
import sys
from pathlib import Path

import pytest

LATEBREAK = Path(sys.executable).with_name("latebreak")
MOST_THROWS = 100_000_000
GIBIBYTE_IN_KIB = 1024**2

ONE_PITCH = """
title = "One pitch, very often"
[pitcher]
hand = "right"
level = "professional"
[pitch.curve]
speed_mph = 81.0
spin_rpm = 2500
break_clock = "6:50"
efficiency_percent = 74
release_side_ft = -1.9
release_height_ft = 6.0
extension_ft = 6.1
target_side_ft = 0.2
target_height_ft = 2.3
"""


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="the peak memory of a child process is read the POSIX way")
def test_a_hundred_million_throws_fit_in_a_gibibyte(tmp_path: Path) -> None:
    scenario = tmp_path / "often.toml"
    scenario.write_text(ONE_PITCH)
    run = subprocess.run(
        [LATEBREAK, "fly", scenario, "--throws", str(MOST_THROWS), "--json"], capture_output=True, text=True, check=True
    )
    pitch = json.loads(run.stdout)["result"]["pitches"]["curve"]
    assert sum(pitch["outcomes"].values()) == MOST_THROWS
    # A scrambled Sobol mean of a smooth quantity over 1e8 throws: far below the 1e-4 s / 1e4 of plain Monte Carlo.
    assert 0.0 < pitch["flight_time_s"]["sampling_error"] < 1e-6
    assert resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss < GIBIBYTE_IN_KIB
