"""Asking one what-if: what is the same for all of them goes to a worker once with each, and numbers come back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from latebreak.engine.errors import InputError, LatebreakError
from latebreak.service.plain import plain
from latebreak.service.questions import compare, fly
from latebreak.service.questions.answer import Json
from latebreak.service.scenario import from_mapping
from latebreak.service.sweep.key_paths import resolve
from latebreak.service.sweep.measures import Question, parts
from latebreak.service.sweep.overrides import Overrides, with_overrides
from latebreak.service.sweep.roads import compare_and_reach
from latebreak.service.sweep.software import Software, differences, here, software
from latebreak.service.wording import shown

#: Status of a what-if that was answered; every other status is a message.
ANSWERED = "answered"
#: Column and key of a what-if that say which scenario it is of, where a sweep is over several.
SCENARIO = "scenario"
#: How the status of a what-if begins that met a fault of latebreak itself.
OUR_FAULT = "a fault of latebreak, please report it"


class VersionError(LatebreakError):
    """A worker runs other software than the machine that asks."""


@dataclass(frozen=True)
class Outcome:
    """What became of a what-if.

    Attributes
    ----------
    status : str
        "answered", or what is at fault.
    pitches : dict of str to dict of str to float or None
        Numbers by pitch and column (`Ask.columns`); None where there is none. Empty where the what-if is at fault.
    better : str or None
        The leading pitch of a comparison; None where it leads by no more than chance.
    chance_percent : float or None
        Chance of the lead.
    warnings : tuple of str
        What is unusual.
    difference : float or None
        The measure that decides of the leading pitch less that of the next; None where only one is compared.
    road : dict or None
        The shortest road to a better mix, of `compare_and_reach`; None where none was asked for or found.
    """

    status: str
    pitches: dict[str, dict[str, float | None]]
    better: str | None = None
    chance_percent: float | None = None
    warnings: tuple[str, ...] = ()
    difference: float | None = None
    road: Json | None = None


@dataclass(frozen=True)
class Ask:
    """What is asked of every what-if. Calling it asks one; it travels to other processes and machines.

    Attributes
    ----------
    scenarios : mapping of str to mapping or str
        Tables as they stand in the file, by the name of the scenario; one alone has the name "". Text in their place
        is what is at fault with a file.
    measures : tuple of str
        Keys of the answer to keep.
    question : {"compare", "fly"}
        What is asked.
    pitches : tuple of str or None
        For compare: which pitches.
    intervals : bool
        For compare: whether to draw what is not known.
    seed, throws : int or None
        In place of the scenario's own.
    roads : bool
        For compare: whether to find the shortest road of the leading pitch to a better mix.
    software : mapping of str to str
        Versions of what computes it (`latebreak.service.sweep.software`), which every worker must run.
    """

    scenarios: Mapping[str, Mapping[str, Any] | str]
    measures: tuple[str, ...]
    question: Question = "compare"
    pitches: tuple[str, ...] | None = None
    intervals: bool = True
    seed: int | None = None
    throws: int | None = None
    roads: bool = False
    software: Software = field(default_factory=software)

    @property
    def columns(self) -> tuple[str, ...]:
        """Columns that the measures fill, in order."""
        endings = parts(self.question, self.intervals)
        return tuple(f"{measure}{ending}" for measure in self.measures for ending in endings)

    def __call__(self, change: Overrides) -> Outcome:
        """Ask one what-if.

        Parameters
        ----------
        change : mapping of str to value
            Key paths with their values.

        Raises
        ------
        VersionError
            This worker runs other software.
        MemoryError
            Of the machine, not of the what-if; every other trouble is an outcome.
        """
        others = differences(self.software, here(self.software))
        if others:
            raise VersionError(f"a worker runs {others}, as the machine does that asks; install the same there")
        try:
            return self._answer(change)
        except InputError as error:
            return Outcome(" | ".join(str(fault) for fault in error.faults), {})
        except LatebreakError as error:
            return Outcome(str(error), {})
        except MemoryError:
            raise
        except Exception as error:
            # one in a million must not take the others with it; the sweep counts these and says so
            return Outcome(f"{OUR_FAULT}: {type(error).__name__}: {shown(str(error))}", {})

    def _answer(self, change: Overrides) -> Outcome:
        own = {key: value for key, value in change.items() if key != SCENARIO}
        scenario = self.scenarios[str(change.get(SCENARIO, ""))]
        if isinstance(scenario, str):
            return Outcome(scenario, {})
        for key in own:
            resolve(key, scenario)  # of several scenarios one may lack a pitch
        loaded = from_mapping(with_overrides(scenario, own), "what-if")
        found: dict[str, Any]
        if self.question == "fly":
            flown = fly(loaded, seed=self.seed, throws=self.throws)
            found = {name: pitch.quantities for name, pitch in flown.result.pitches.items()}
            return Outcome(ANSWERED, self._numbers(found), warnings=flown.warnings)
        asked: dict[str, Any] = {
            "pitches": self.pitches,
            "intervals": self.intervals,
            "seed": self.seed,
            "throws": self.throws,
        }
        answer, road = compare_and_reach(loaded, **asked) if self.roads else (compare(loaded, **asked), None)
        better = answer.result.better
        numbers = self._numbers(answer.result.pitches)
        lead = None if better.difference is None else plain(better.difference.value)
        return Outcome(ANSWERED, numbers, better.pitch, better.chance_percent, answer.warnings, lead, road)

    def _numbers(self, found: Mapping[str, Mapping[str, Any]]) -> dict[str, dict[str, float | None]]:
        endings = parts(self.question, self.intervals)
        result = {}
        for name, measures in found.items():
            json = {measure: plain(measures[measure]) for measure in self.measures}
            result[name] = {
                f"{measure}{ending}": json[measure].get(key)
                for measure in self.measures
                for ending, key in endings.items()
            }
        return result
