"""A goal that is kept: what was wanted of a pitch, where it stood that day, and the roads that get there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, ValidationError

from latebreak.engine.errors import Fault, InputError, LatebreakError
from latebreak.service.judging.estimates import Estimate
from latebreak.service.plain import plain
from latebreak.service.quantities.units import NUMBER, worded_range
from latebreak.service.questions.answer import Answer
from latebreak.service.questions.goal import faults_of_measure
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.questions.reach import ReachResult
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.faults import faults_of
from latebreak.service.scenario.keys import read_keys
from latebreak.service.scenario.loading import decoded, tables_of
from latebreak.service.scenario.model import Pitcher
from latebreak.service.scenario.pitch_entry import NAME_LENGTH
from latebreak.service.scenario.ranges import Range
from latebreak.service.scenario.section import Section, Text
from latebreak.service.wording import clean, did_you_mean, key_path, shown

#: Largest file of a goal in bytes (chosen: many times what is written).
MAX_BYTES = 100_000
#: Numbers of measures and levers, before each is held against what its key can be (chosen: far beyond any).
_ANY = Range(NUMBER, possible=(-1e6, 1e6))
_REMEDY = "`latebreak goal` writes such a file"


class GoalFileError(LatebreakError):
    """The file of a goal can't be found or read."""


class Wanted(Section):
    """What the measure is to be, and how that was asked: keys as in an answer of `reach`."""

    kind: Literal["value", "change", "like"]
    number: Annotated[float | None, _ANY] = None
    pitch: Annotated[str | None, Text(NAME_LENGTH)] = None
    value: Annotated[float, _ANY]


class Stood(Section):
    """Where the measure stood: an estimate."""

    value: Annotated[float, _ANY]
    low: Annotated[float | None, _ANY] = None
    high: Annotated[float | None, _ANY] = None
    sampling_error: Annotated[float | None, Range(NUMBER, possible=(0.0, 1e6))] = None

    @property
    def estimate(self) -> Estimate:
        """As the questions have it."""
        error = float("nan") if self.sampling_error is None else self.sampling_error
        return Estimate(self.value, error, self.low, self.high)


class KeptRoad(Section):
    """Where a lever stood, and where it must be, all else as it was; in the unit of its key."""

    now: Annotated[float, _ANY]
    wanted: Annotated[float, _ANY]


class KeptGoal(Section):
    """A goal in the keys of its file; `title`, `seed` and `throws` are those of the scenario it was asked of."""

    title: Annotated[str, Text(200)]
    pitch: Annotated[str, Text(NAME_LENGTH)]
    measure: Annotated[str, Text(NAME_LENGTH)]
    date: Annotated[str, Text(10)]
    seed: Annotated[int, Range(NUMBER, possible=(0, 2**63 - 1), whole=True)]
    throws: Annotated[int, Range(NUMBER, possible=(1, 100_000_000), whole=True)]
    version: Annotated[str, Text(40)]
    pitcher: Pitcher
    goal: Wanted
    now: Stood
    roads: dict[Annotated[str, Text(NAME_LENGTH)], KeptRoad] = Field(default_factory=dict)

    def parts(self) -> dict[str, Any]:
        """Return the tables of the file."""
        return self.model_dump(exclude_none=True)

    @classmethod
    def of_parts(cls, found: Mapping[str, Any]) -> KeptGoal:
        """Build it from its tables."""
        return goal_of(found)


def keep(answer: Answer[ReachResult], scenario: Scenario, day: date) -> KeptGoal:
    """Make a goal of what `reach` found; of the roads those that get there.

    Parameters
    ----------
    answer : Answer of ReachResult
        What was asked.
    scenario : Scenario
        Of which it was asked.
    day : date
        Today.
    """
    reached, pitcher = answer.result, scenario.pitcher
    entry = scenario.pitch[reached.pitch]
    roads = {
        key: {"now": _short(BY_KEY[key].stands_at(entry, pitcher.hand)), "wanted": _short(road.new_value)}
        for key, road in reached.levers.items()
        if road.reachable
    }
    now = {key: value for key, value in plain(reached.now).items() if value is not None}
    wanted = reached.parts()["goal"]
    return goal_of({
        "title": answer.title, "pitch": reached.pitch, "measure": reached.measure, "date": day.isoformat(),
        "seed": answer.seed, "throws": answer.throws, "version": answer.version,
        "pitcher": pitcher.model_dump(exclude_none=True),
        "goal": {key: _short(value) if isinstance(value, float) else value for key, value in wanted.items()},
        "now": {key: _short(value) for key, value in now.items()},
        "roads": roads,
    })  # fmt: skip


def load_goal(path: str | Path) -> KeptGoal:
    """Read a goal from its file.

    Raises
    ------
    GoalFileError
        There is no such file, or it can't be read.
    InputError
        Its content is at fault; with every fault that was found.
    """
    name = clean(str(path))
    try:
        with Path(path).open("rb") as file:
            content = file.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:  # ValueError: a path with a zero byte
        reason = getattr(error, "strerror", None) or str(error)
        raise GoalFileError(f"{shown(name)} can't be read: {clean(reason)}; {_REMEDY}") from error
    if len(content) > MAX_BYTES:
        raise InputError([Fault("", "it is larger than 0.1 MB", "at most 0.1 MB", _REMEDY)], name)
    return goal_of(tables_of(decoded(content, name), name), name)


def goal_of(mapping: Mapping[str, Any], source: str = "goal") -> KeptGoal:
    """Read a goal from nested tables in the keys of its file.

    Parameters
    ----------
    mapping : mapping
        Tables as TOML or JSON give them.
    source : str
        What messages call the input.

    Raises
    ------
    InputError
        With every fault that was found.
    """
    document = read_keys(KeptGoal, mapping)
    faults = [*document.faults, *_cross_faults(document.content)]
    try:
        goal = KeptGoal.model_validate(document.content)
    except ValidationError as error:
        faults += faults_of(error, KeptGoal, document, {fault.where for fault in faults})
    if faults:
        raise InputError(faults[:200], source)
    return goal


def _cross_faults(tables: Mapping[str, Any]) -> Iterator[Fault]:
    """Find what no single key shows."""
    if isinstance(tables.get("measure"), str):
        yield from faults_of_measure(tables["measure"])
    day = tables.get("date")
    if isinstance(day, str) and not _is_date(day):
        yield Fault("date", f"{shown(day)} is no date", 'a day such as "2026-03-31"', "write year, month and day")
    wanted = tables.get("goal")
    if isinstance(wanted, Mapping):
        needs = "pitch" if wanted.get("kind") == "like" else "number"
        if wanted.get("kind") in ("value", "change", "like") and needs not in wanted:
            yield Fault(
                f"goal.{needs}", f"missing for a goal of kind {shown(wanted['kind'])}", "", f"add {needs} = ..."
            )
    now = tables.get("now")
    if isinstance(now, Mapping):
        ends = [now.get(key) for key in ("low", "high")]
        if (ends[0] is None) != (ends[1] is None):
            yield Fault("now", "one end of its interval alone", "low and high, or neither", "add the other end")
        elif all(isinstance(end, (int, float)) for end in ends) and ends[0] > ends[1]:  # type: ignore[operator]
            yield Fault("now.low", f"{shown(ends[0])} lies above high, {shown(ends[1])}", "", "exchange the two")
    roads = tables.get("roads")
    for key, road in roads.items() if isinstance(roads, Mapping) else ():
        if key not in BY_KEY:
            near = did_you_mean(key, BY_KEY) or "remove it, or check the spelling"
            yield Fault(key_path("roads", key), f"there is no lever {shown(key)}", ", ".join(BY_KEY), near)
            continue
        possible = BY_KEY[key].range
        low, high = possible.possible
        for end, value in road.items() if isinstance(road, Mapping) else ():
            if end in ("now", "wanted") and isinstance(value, (int, float)) and not low <= value <= high:
                problem = f"{shown(value)} {possible.unit.symbol}".rstrip() + " is outside the possible range"
                allowed = worded_range(low, high, possible.unit.symbol)
                yield Fault(key_path("roads", key, end), problem, allowed, "check the value and its unit")


def _is_date(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _short(value: float) -> float:
    return float(f"{value:.6g}")
