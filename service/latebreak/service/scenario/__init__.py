"""The scenario: what a question is asked about, read from a file, with its defaults, faults, warnings and cautions."""

from latebreak.service.scenario.loading import Loaded, ScenarioFileError, from_mapping, load, parse
from latebreak.service.scenario.model import Scenario, reference_fastball
from latebreak.service.scenario.ready import ready_names

__all__ = [
    "Loaded",
    "Scenario",
    "ScenarioFileError",
    "from_mapping",
    "load",
    "parse",
    "ready_names",
    "reference_fastball",
]
