"""The scenario: what a question is asked about, read from a file, with its defaults, faults, warnings and cautions."""

from latebreak.service.scenario.loading import Loaded, ScenarioFileError, Source, from_mapping, load, opened, parse
from latebreak.service.scenario.model import Scenario, reference_fastball
from latebreak.service.scenario.ready import ready_names

__all__ = [
    "Loaded",
    "Scenario",
    "ScenarioFileError",
    "Source",
    "from_mapping",
    "load",
    "opened",
    "parse",
    "ready_names",
    "reference_fastball",
]
