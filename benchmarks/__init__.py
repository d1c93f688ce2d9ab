"""Speed of latebreak beside general-purpose means; see README.md of this folder."""

import sys
from pathlib import Path

#: References, plain equations and servers are those of the tests.
sys.path.append(str(Path(__file__).parents[1] / "tests"))
