"""The plan of a sweep: what can be at fault before the first what-if is asked, with all its faults at once."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from latebreak.engine.errors import Fault, InputError
from latebreak.service.judging.setting import settle
from latebreak.service.questions.answer import Answer
from latebreak.service.scenario import Loaded, ScenarioFileError, from_mapping, load
from latebreak.service.scenario.cautions import cautions
from latebreak.service.scenario.ready import ready_path
from latebreak.service.sweep.asking import Ask
from latebreak.service.sweep.grid import read_grid
from latebreak.service.sweep.key_paths import locate, resolve
from latebreak.service.sweep.listing import read_list
from latebreak.service.sweep.measures import MEASURES, Question
from latebreak.service.sweep.overrides import Overrides, Value, with_overrides
from latebreak.service.sweep.running import Swept
from latebreak.service.sweep.software import software
from latebreak.service.sweep.what_ifs import WhatIfs
from latebreak.service.wording import clean, did_you_mean, shown

T = TypeVar("T")

#: Keys of a pitch that ask for more of an arm.
_MORE = ("speed_mph", "speed_kmh", "spin_rpm")


@dataclass(frozen=True)
class Options:
    """What is asked of every what-if, as the user gave it; `Ask` says what each means."""

    question: Question = "compare"
    pitches: Sequence[str] | None = None
    intervals: bool = True
    seed: int | None = None
    throws: int | None = None
    measures: Sequence[str] | None = None


@dataclass(frozen=True)
class Plan:
    """A sweep that is ready to run.

    Attributes
    ----------
    loaded : Loaded
        The scenario that the what-ifs change.
    ask : Ask
        What is asked of each.
    what_ifs : WhatIfs
        What changes in each.
    """

    loaded: Loaded
    ask: Ask
    what_ifs: WhatIfs

    def answer(self, swept: Swept) -> Answer[Swept]:
        """Put what a sweep came to into the envelope of an answer."""
        scenario, warnings = self.loaded.scenario, list(self.loaded.warnings)
        if swept.warned:
            warnings.append(f"what-ifs with warnings of their own: {swept.warned:,}; see the column warnings")
        return Answer(
            "sweep",
            scenario.title,
            scenario.seed if self.ask.seed is None else self.ask.seed,
            scenario.throws if self.ask.throws is None else self.ask.throws,
            tuple(warnings),
            self._cautions(),
            swept,
        )

    def _cautions(self) -> tuple[str, ...]:
        """Return the cautions for every pitcher whom the what-ifs make of the scenario's."""
        paths = {key: locate(key).path for key in self.what_ifs.keys}
        more = any(path[0] == "pitch" and path[2:] in [(key,) for key in _MORE] for path in paths.values())
        of_pitcher = [key for key in self.what_ifs.keys if paths[key][0] == "pitcher"]
        variants: Iterable[Overrides] = [{}]
        if of_pitcher:
            chosen = ({key: change[key] for key in of_pitcher if key in change} for change in self.what_ifs)
            variants = {tuple(one.items()): one for one in chosen}.values()
        said: dict[str, None] = {}
        for variant in variants:
            try:
                pitcher = from_mapping(with_overrides(self.ask.scenario, variant)).scenario.pitcher
            except InputError:
                continue  # its rows say so
            said |= dict.fromkeys(cautions(pitcher, proposes_more=more))
        return tuple(said)


def plan_from_files(source: str, grids: Sequence[str], listing: Path | None, options: Options) -> Plan:
    """Plan a sweep as the command line gives it.

    Parameters
    ----------
    source : str
        Path or ready name of a scenario, which must be in order itself.
    grids : sequence of str
        ``KEY=A:B:N`` or ``KEY=V1,V2,V3``; their full product is swept.
    listing : Path or None
        A CSV file with one what-if a row; each is combined with every point of the grids.
    options : Options
        What is asked of every what-if.

    Raises
    ------
    InputError
        With every fault of the scenario, else of grids, list and options.
    ScenarioFileError
        There is no such scenario.
    ListFileError
        The list can't be read.
    """
    loaded = load(source)
    scenario = _tables(source)
    faults: list[Fault] = []
    axes = [_gather(lambda text=text: read_grid(text, scenario), faults) for text in grids]  # type: ignore[misc]
    if listing is not None:
        axes.insert(0, _gather(lambda: read_list(listing, scenario), faults))
    what_ifs = WhatIfs(tuple(axis for axis in axes if axis is not None))
    if what_ifs.axes or not axes:
        faults += what_ifs.faults()
    ask = _gather(lambda: plan_questions(loaded, scenario, what_ifs.keys, options), faults)
    if faults or ask is None:
        raise InputError(faults, loaded.source)
    swept = {key: what_ifs.values(key) for key in what_ifs.keys}
    ask = replace(ask, software=software(*_plug_ins(loaded, swept)))
    return Plan(loaded, ask, what_ifs)


def plan_changes(
    scenario: Mapping[str, Any], changes: Sequence[Overrides], options: Options
) -> tuple[Ask, Sequence[Overrides]]:
    """Plan a sweep as Python gives it.

    Parameters
    ----------
    scenario : mapping
        Tables in the keys of the file.
    changes : sequence of mapping of str to value
        One what-if each: key paths with their values.
    options : Options
        What is asked of every what-if.

    Raises
    ------
    InputError
        With every fault of the scenario, else of the keys and options.
    """
    loaded = from_mapping(scenario)
    keys = tuple(dict.fromkeys(key for change in changes for key in change))
    faults: list[Fault] = []
    for key in keys:
        _gather(lambda key=key: resolve(key, scenario), faults)  # type: ignore[misc]
    ask = _gather(lambda: plan_questions(loaded, scenario, () if faults else keys, options), faults)
    if faults or ask is None:
        raise InputError(faults, loaded.source)
    swept = {key: [change[key] for change in changes if key in change] for key in keys}
    return replace(ask, software=software(*_plug_ins(loaded, swept))), changes


def plan_questions(loaded: Loaded, scenario: Mapping[str, Any], keys: Sequence[str], options: Options) -> Ask:
    """Check what is asked of every what-if.

    Raises
    ------
    InputError
        With every fault of the options.
    """
    faults: list[Fault] = []
    try:
        settle(loaded, options.seed, options.throws)
    except InputError as error:
        faults += error.faults
    paths = [locate(key).path for key in keys]
    for name in ("seed", "throws"):
        if getattr(options, name) is not None and (name,) in paths:
            faults.append(Fault(name, f"it is swept, and given by --{name} too", "one of the two", f"drop --{name}"))
    if options.question == "fly" and (options.pitches is not None or not options.intervals):
        faults.append(Fault("", "--pitches and --no-interval belong to compare", "--question compare"))
    known, names = MEASURES[options.question], list(loaded.scenario.pitch)
    measures = known if options.measures is None else tuple(dict.fromkeys(options.measures))
    for measure in measures:
        if measure not in known:
            problem = f"there is no measure {shown(measure)} of {options.question}"
            faults.append(Fault("measures", problem, ", ".join(known), did_you_mean(measure, known)))
    for name in options.pitches or ():
        if name not in names:
            problem = f"there is no pitch {shown(name)} in the scenario"
            faults.append(Fault("pitches", problem, ", ".join(map(shown, names)), did_you_mean(name, names)))
    if not measures:
        faults.append(Fault("measures", "no measure is given", ", ".join(known)))
    if options.pitches is not None and not options.pitches:
        faults.append(Fault("pitches", "no name is given", ", ".join(map(shown, names))))
    if faults:
        raise InputError(faults)
    pitches = None if options.pitches is None else tuple(options.pitches)
    return Ask(scenario, measures, options.question, pitches, options.intervals, options.seed, options.throws)


def _plug_ins(loaded: Loaded, swept: Mapping[str, Iterable[Value | None]]) -> tuple[list[str], list[str]]:
    """Names of the force laws and of the hitter models that a scenario and what is swept of it use."""
    ball, model = loaded.scenario.ball, loaded.scenario.hitter.model
    laws, hitters = [ball.lift_law, ball.drag_law], [] if model is None else [model]
    named = {("ball", "lift_law"): laws, ("ball", "drag_law"): laws, ("hitter", "model"): hitters}
    for path, names in named.items():
        for key, values in swept.items():
            names += [one for one in values if isinstance(one, str) and locate(key).path == path]
    return laws, hitters


def _tables(source: str) -> dict[str, Any]:
    """Return the tables of a scenario that `load` has found in order."""
    path = Path(source) if Path(source).is_file() else ready_path(source)
    if path is None:
        raise ScenarioFileError(f"{clean(source)} is no plain file; sweep reads it twice, so save it as one")
    return tomllib.loads(path.read_text(encoding="utf-8-sig"))


def _gather(work: Callable[[], T], faults: list[Fault]) -> T | None:
    """Do something; where its input is at fault, add the faults to a list, each with the name of its own file."""
    try:
        return work()
    except InputError as error:
        prefix = f"{error.source}: " if error.source else ""
        faults += [Fault("", f"{prefix}{fault}") if prefix else fault for fault in error.faults]
        return None
