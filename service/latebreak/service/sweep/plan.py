"""The plan of a sweep: what can be at fault before the first what-if is asked, with all its faults at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from latebreak.engine.errors import Fault, InputError
from latebreak.service.judging.setting import settle
from latebreak.service.scenario import Loaded, from_mapping, load
from latebreak.service.sweep.asking import SCENARIO, Ask
from latebreak.service.sweep.grid import read_grid
from latebreak.service.sweep.key_paths import locate, resolve
from latebreak.service.sweep.listing import read_list
from latebreak.service.sweep.measures import MEASURES, Question
from latebreak.service.sweep.overrides import Overrides, Value
from latebreak.service.sweep.planned import Plan
from latebreak.service.sweep.several import load_several
from latebreak.service.sweep.software import software
from latebreak.service.sweep.what_ifs import Axis, WhatIfs, swept_keys
from latebreak.service.wording import did_you_mean, shown

T = TypeVar("T")


@dataclass(frozen=True)
class Options:
    """What is asked of every what-if, as the user gave it; `Ask` says what each means."""

    question: Question = "compare"
    pitches: Sequence[str] | None = None
    intervals: bool = True
    seed: int | None = None
    throws: int | None = None
    measures: Sequence[str] | None = None


def plan_from_files(
    sources: Sequence[str], grids: Sequence[str], listing: Path | None, options: Options, *, roads: bool = False
) -> Plan:
    """Plan a sweep as the command line gives it.

    Parameters
    ----------
    sources : sequence of str
        Path or ready name of a scenario, which must be in order itself, and of which something must be swept. Or
        several of them, or folders of scenarios: of these only one must be in order.
    grids : sequence of str
        ``KEY=A:B:N`` or ``KEY=V1,V2,V3``; their full product is swept.
    listing : Path or None
        A CSV file with one what-if a row; each is combined with every point of the grids.
    options : Options
        What is asked of every what-if.
    roads : bool
        Whether to find the shortest road to a better mix, too.

    Raises
    ------
    InputError
        With every fault of the scenario, else of grids, list and options.
    ScenarioFileError
        There is no such scenario, or none in a folder.
    ListFileError
        The list can't be read.
    """
    alone = len(sources) == 1 and not Path(sources[0]).is_dir() and not roads
    loaded, at_fault = ({"": load(sources[0])}, {}) if alone else load_several(sources)
    faults: list[Fault] = []
    axes = [_gather(lambda text=text: _of_any(partial(read_grid, text), loaded), faults) for text in grids]  # type: ignore[misc]
    if listing is not None:
        axes.insert(0, _gather(lambda: _of_any(partial(read_list, listing), loaded), faults))
    if not alone:
        axes.insert(0, Axis((SCENARIO, "title"), _rows(loaded, at_fault)))
    what_ifs = WhatIfs(tuple(axis for axis in axes if axis is not None))
    if what_ifs.axes or not axes:
        faults += what_ifs.faults()
    scenarios = {name: one.tables for name, one in loaded.items()} | at_fault
    keys = swept_keys(what_ifs.keys)
    ask = _gather(lambda: plan_questions(loaded, scenarios, keys, options), faults)
    source = next(iter(loaded.values())).source if alone else ""
    if faults or ask is None:
        raise InputError(faults, source)
    swept = {key: what_ifs.values(key) for key in keys}
    return Plan(loaded, replace(ask, roads=roads, software=software(*_plug_ins(loaded.values(), swept))), what_ifs)


def _rows(loaded: Mapping[str, Loaded], at_fault: Mapping[str, str]) -> tuple[tuple[str, str | None], ...]:
    """Return each scenario with its title, in the order of their names."""
    titles = {name: one.scenario.title for name, one in loaded.items()} | dict.fromkeys(at_fault)
    return tuple((name, titles[name]) for name in sorted(titles))


def _of_any(read: Callable[[Mapping[str, Any]], Axis], loaded: Mapping[str, Loaded]) -> Axis:
    """Read what is swept for the first scenario that has its keys; the rows of the others say that they lack them.

    Raises
    ------
    InputError
        As for the first scenario, where it fits none.
    """
    first: InputError | None = None
    for one in loaded.values():
        try:
            return read(one.tables)
        except InputError as error:
            first = first or error
    assert first is not None  # there is a scenario
    raise first


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
    alone = {"": loaded}
    ask = _gather(lambda: plan_questions(alone, {"": scenario}, () if faults else keys, options), faults)
    if faults or ask is None:
        raise InputError(faults, loaded.source)
    swept = {key: [change[key] for change in changes if key in change] for key in keys}
    return replace(ask, software=software(*_plug_ins([loaded], swept))), changes


def plan_questions(
    loaded: Mapping[str, Loaded],
    scenarios: Mapping[str, Mapping[str, Any] | str],
    keys: Sequence[str],
    options: Options,
) -> Ask:
    """Check what is asked of every what-if.

    Of several scenarios one must fit what is asked; the rows of the others say why they don't.

    Raises
    ------
    InputError
        With every fault of the options.
    """
    of_each = [list(_unfit(one, options)) for one in loaded.values()]
    faults = [] if [] in of_each else of_each[0]
    paths = [locate(key).path for key in keys]
    for name in ("seed", "throws"):
        if getattr(options, name) is not None and (name,) in paths:
            faults.append(Fault(name, f"it is swept, and given by --{name} too", "one of the two", f"drop --{name}"))
    if options.question == "fly" and (options.pitches is not None or not options.intervals):
        faults.append(Fault("", "--pitches and --no-interval belong to compare", "--question compare"))
    known = MEASURES[options.question]
    measures = known if options.measures is None else tuple(dict.fromkeys(options.measures))
    for measure in measures:
        if measure not in known:
            problem = f"there is no measure {shown(measure)} of {options.question}"
            faults.append(Fault("measures", problem, ", ".join(known), did_you_mean(measure, known)))
    if not measures:
        faults.append(Fault("measures", "no measure is given", ", ".join(known)))
    if options.pitches is not None and not options.pitches:
        faults.append(Fault("pitches", "no name is given", "names of pitches"))
    if faults:
        raise InputError(faults)
    pitches = None if options.pitches is None else tuple(options.pitches)
    return Ask(scenarios, measures, options.question, pitches, options.intervals, options.seed, options.throws)


def _unfit(loaded: Loaded, options: Options) -> Iterator[Fault]:
    """Find what of the options does not fit a scenario."""
    try:
        settle(loaded, options.seed, options.throws)
    except InputError as error:
        yield from error.faults
    names = list(loaded.scenario.pitch)
    for name in options.pitches or ():
        if name not in names:
            problem = f"there is no pitch {shown(name)} in the scenario"
            yield Fault("pitches", problem, ", ".join(map(shown, names)), did_you_mean(name, names))


def _plug_ins(loaded: Iterable[Loaded], swept: Mapping[str, Iterable[Value | None]]) -> tuple[list[str], list[str]]:
    """Names of the force laws and of the hitter models that scenarios and what is swept of them use."""
    every = [one.scenario for one in loaded]
    laws = [law for one in every for law in (one.ball.lift_law, one.ball.drag_law)]
    hitters = [one.hitter.model for one in every if one.hitter.model is not None]
    named = {("ball", "lift_law"): laws, ("ball", "drag_law"): laws, ("hitter", "model"): hitters}
    for path, names in named.items():
        for key, values in swept.items():
            names += [one for one in values if isinstance(one, str) and locate(key).path == path]
    return laws, hitters


def _gather(work: Callable[[], T], faults: list[Fault]) -> T | None:
    """Do something; where its input is at fault, add the faults to a list, each with the name of its own file."""
    try:
        return work()
    except InputError as error:
        prefix = f"{error.source}: " if error.source else ""
        faults += [Fault("", f"{prefix}{fault}") if prefix else fault for fault in error.faults]
        return None
