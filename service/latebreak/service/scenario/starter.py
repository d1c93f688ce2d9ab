"""A commented starter scenario, for a coach to fill in."""

from __future__ import annotations

import re
from pathlib import Path

from latebreak.engine.errors import Fault, InputError
from latebreak.service.wording import shown
from latebreak.service.writing import write

#: Longest name of a starter, in characters (chosen: leaves room for the ending on every file system).
LONGEST = 80

TEMPLATE = """\
# A scenario: what one question is asked about. Change the numbers to your pitcher's; lines that begin with # are
# comments, and a line that is commented out shows a default or something you may add.
# Every key ends in its unit. Metric keys are accepted too: speed_kmh, release_height_m, ...

title = "NAME"
# seed = 1          # the same seed gives the same answer
# throws = 10000    # simulated throws of each pitch

[air]
temperature_c = 20.0        # or temperature_f
humidity_percent = 50.0
altitude_m = 0.0            # or altitude_ft, or pressure_hpa (as measured at the park)
# wind_to_plate_mph = 0.0   # from the mound to the plate

[field]
rubber_to_plate_ft = 60.5   # youth fields are shorter: 46 or 50

[pitcher]
hand = "right"              # or "left"
level = "college"           # youth, high_school, college, professional
# age_years = 20            # decides which pitch-count and rest rules are shown

# Sides are positive toward the catcher's right, so a right-hander releases at a negative side.
# break_clock is the clock face as the PITCHER sees it: where the spin pushes the ball. 12:00 is up, 6:00 is down.

[pitch.fastball]
# name = "Four-seam"        # what people read; the key, here fastball, is for files and tools
role = "fastball"           # the pitch that the others are judged against
speed_mph = 87.5
spin_rpm = 2180
break_clock = "12:50"
efficiency_percent = 93     # share of the spin that bends the flight; or gyro_deg
release_side_ft = -1.8
release_height_ft = 5.8
extension_ft = 6.0
target_side_ft = 0.0        # where it is aimed, at the front of the plate
target_height_ft = 2.6

[pitch.curve]
role = "breaking"
speed_mph = 74.0
spin_rpm = 2320
break_clock = "7:00"        # a right-hander's "1 to 7" curve
efficiency_percent = 68
release_side_ft = -1.7
release_height_ft = 5.9
extension_ft = 5.7
target_side_ft = 0.3
target_height_ft = 1.8

# How much the curve varies from throw to throw (standard deviations). What is not given is typical of the level.
# [pitch.curve.spread]
# speed_mph = 1.2
# break_clock_deg = 6.0
# drag_coefficient = 0.018  # balls differ too: in drag, in lift (a share of it), in the push that seams make
# lift_scale = 0.04
# seam_force = 0.008

# [hitter]
# bats = "right"
# familiarity = 0.5         # 0 = first look at this pitcher, 1 = thoroughly scouted

# [hitter.expects]          # what the hitter looks for, in shares that sum to 1
# fastball = 0.6
# curve = 0.4
"""


def starter_text(name: str) -> str:
    """Return a commented starter scenario.

    Parameters
    ----------
    name : str
        Name of the scenario, a plain file name; becomes its title.

    Raises
    ------
    InputError
        The name is no plain file name.
    """
    return TEMPLATE.replace("NAME", _plain(name), 1)


def write_starter(name: str, folder: str | Path) -> Path:
    """Write a starter scenario as NAME.toml into a folder.

    Returns
    -------
    Path
        The file that was written.

    Raises
    ------
    InputError
        The name is no plain file name.
    OutputFileError
        The file exists already, or the folder can't be written.
    """
    path = Path(folder) / f"{_plain(name)}.toml"
    write(path, starter_text(name))
    return path


def _plain(name: str) -> str:
    """Check that a name is a plain file name, and cut a .toml that the user wrote himself."""
    stem = name.removesuffix(".toml")
    if re.fullmatch(r"\w[\w .+-]*", stem) and stem == stem.rstrip(" .") and len(stem) <= LONGEST:
        return stem
    problem = f"{shown(name)} is not a plain file name"
    allowed = f"1 to {LONGEST} letters, digits, spaces, or any of . _ + -, beginning with a letter or digit"
    raise InputError([Fault("NAME", problem, allowed, "write for example my-curve")])
