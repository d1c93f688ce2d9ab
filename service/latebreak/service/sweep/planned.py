"""A sweep that is ready to run, and what its answer says besides the table: warnings, and the care of the arms."""

from __future__ import annotations

from dataclasses import dataclass

from latebreak.engine.errors import InputError
from latebreak.service.questions.answer import Answer
from latebreak.service.scenario import Loaded, from_mapping
from latebreak.service.scenario.cautions import cautions
from latebreak.service.sweep.asking import Ask
from latebreak.service.sweep.key_paths import locate
from latebreak.service.sweep.overrides import Value, with_overrides
from latebreak.service.sweep.running import Swept
from latebreak.service.sweep.what_ifs import WhatIfs, swept_keys

#: Keys of a pitch that ask for more of an arm.
_MORE = ("speed_mph", "speed_kmh", "spin_rpm")


@dataclass(frozen=True)
class Plan:
    """A sweep that is ready to run.

    Attributes
    ----------
    loaded : dict of str to Loaded
        The scenarios that are in order, by name; one alone has the name "".
    ask : Ask
        What is asked of each what-if.
    what_ifs : WhatIfs
        What changes in each.
    """

    loaded: dict[str, Loaded]
    ask: Ask
    what_ifs: WhatIfs

    def answer(self, swept: Swept) -> Answer[Swept]:
        """Put what a sweep came to into the envelope of an answer."""
        first, *others = self.loaded.values()
        warnings = [] if others else list(first.warnings)  # those of several stand in the rows
        seed, throws = (self.draws(key) for key in ("seed", "throws"))
        if len({*seed}) * len({*throws}) > 1:
            warnings.append(
                "these scenarios have seeds or throws of their own, so that chance differs between them too; give "
                "--seed and --throws for all"
            )
        if swept.warned:
            where = "see the column warnings" if swept.table is not None else "a table, -o TABLE, tells them"
            warnings.append(f"what-ifs with warnings of their own: {swept.warned:,}; {where}")
        title = f"{len(self.ask.scenarios)} scenarios" if "" not in self.loaded else first.scenario.title
        return Answer("sweep", title, seed[0], throws[0], tuple(warnings), self._cautions(), swept)

    def draws(self, key: str) -> list[int]:
        """Return the "seed" or the "throws" of every scenario that is in order."""
        told = getattr(self.ask, key)
        return [getattr(one.scenario, key) if told is None else told for one in self.loaded.values()]

    def _cautions(self) -> tuple[str, ...]:
        """Return the cautions for every pitcher whom the what-ifs make; with the scenarios, where not of all."""
        keys = swept_keys(self.what_ifs.keys)
        paths = {key: locate(key).path for key in keys}
        more = self.ask.roads or any(
            path[0] == "pitch" and path[2:] in [(key,) for key in _MORE] for path in paths.values()
        )
        of_pitcher = [key for key in keys if paths[key][0] == "pitcher"]
        variants: dict[tuple[tuple[str, Value], ...], None] = {(): None}
        if of_pitcher:
            variants = {tuple((key, one[key]) for key in of_pitcher if key in one): None for one in self.what_ifs}
        said: dict[str, set[str]] = {}
        for name, loaded in self.loaded.items():
            for variant in variants:
                try:
                    pitcher = from_mapping(with_overrides(loaded.tables, dict(variant))).scenario.pitcher
                except InputError:
                    continue  # its rows say so
                for caution in cautions(pitcher, proposes_more=more):
                    said.setdefault(caution, set()).add(name)
        return tuple(
            caution if len(names) == len(self.loaded) else f"{', '.join(sorted(names))}: {caution}"
            for caution, names in said.items()
        )
