"""The setting of a question: a scenario made ready to fly, with the faults that only flying shows."""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from functools import cache

import numpy as np
from threadpoolctl import ThreadpoolController

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import Bundle, UnreachableTargetError, prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.errors import Fault, InputError
from latebreak.engine.pitch.pitch import Pitch
from latebreak.engine.units import INCH
from latebreak.service.scenario import Scenario, Source, opened
from latebreak.service.scenario.physical import conditions, pitches

#: Told the share of the work that is done, 0 to 1.
Progress = Callable[[float], None]

LARGEST_SEED = 2**63 - 1
MOST_THROWS = 100_000_000
#: Fewer throws than this are flown by one thread: starting more would take longer.
_THROWS_WORTH_A_THREAD = 50_000
#: A fit of a force law worse than this is said, m.
_FIT_WORTH_SAYING = 0.005 * INCH


@dataclass(frozen=True, eq=False)
class Setting:
    """A scenario made ready.

    Attributes
    ----------
    scenario : Scenario
        As loaded.
    source : str
        Name of the file, for messages.
    conditions : Conditions
        Air, field, ball, laws.
    pitches : dict of str to Pitch
        By name.
    draws : Draws
        Seed and throws.
    warnings : tuple of str
        From loading.
    threads : int
        Threads to fly with.
    """

    scenario: Scenario
    source: str
    conditions: Conditions
    pitches: dict[str, Pitch]
    draws: Draws
    warnings: tuple[str, ...]
    threads: int

    def bundles(self, names: list[str]) -> dict[str, Bundle]:
        """Prepare pitches to be thrown.

        Raises
        ------
        InputError
            If a mean pitch can't reach its target; all of them are named.
        """
        ready, faults = {}, []
        for name in names:
            try:
                ready[name] = prepare(self.pitches[name], self.conditions)
            except UnreachableTargetError:
                entry = self.scenario.pitch[name]
                faults.append(
                    Fault(
                        f"pitch.{name}.target_height_ft",
                        f"no launch direction takes the mean pitch of {entry.speed_mph:g} mph to its target, "
                        f"{entry.target_height_ft:g} ft high and {entry.target_side_ft:g} ft to the side, "
                        f"{self.scenario.field.rubber_to_plate_ft - entry.extension_ft:.1f} ft from the release",
                        "a target that this speed can reach",
                        "raise speed_mph, lower the target, or give launch_elevation_deg and launch_azimuth_deg",
                    )
                )
        if faults:
            raise InputError(faults, self.source)
        return ready

    def fit_warnings(self, bundles: dict[str, Bundle]) -> list[str]:
        """Say where a force law could be fitted only roughly."""
        result = []
        for name, bundle in bundles.items():
            distance = bundle.mean.rubber - bundle.pitch.extension - bundle.flight.plate
            error = bundle.flight.laws.error_at_plate(bundle.flight.constants.force_constant, distance)
            if error > _FIT_WORTH_SAYING:
                result.append(
                    f"pitch.{name}: the force laws are fitted to within {error / INCH:.2g} in at the plate here "
                    "(a law that is steep in the range of this pitch)"
                )
        return result


def settle(source: Source, seed: int | None, throws: int | None) -> Setting:
    """Make a scenario ready.

    Parameters
    ----------
    source : Source
        What is asked about.
    seed, throws : int or None
        In place of the scenario's own.

    Raises
    ------
    InputError
        If the scenario, the seed or the number of throws is at fault.
    ScenarioFileError
        If there is no such scenario.
    """
    loaded = opened(source)
    check_draws(seed, throws, loaded.source)
    scenario = loaded.scenario
    scenario = scenario.model_copy(
        update={
            "seed": scenario.seed if seed is None else seed,
            "throws": scenario.throws if throws is None else throws,
        }
    )
    return Setting(
        scenario,
        loaded.source,
        conditions(scenario),
        pitches(scenario),
        Draws(scenario.seed, scenario.throws),
        loaded.warnings,
        threads_for(scenario.throws),
    )


def check_draws(seed: int | None, throws: int | None, source: str) -> None:
    """Refuse a seed or a number of throws that can't be; `source` is what messages call the input.

    Raises
    ------
    InputError
        If one of them is at fault.
    """
    faults = []
    if seed is not None and not 0 <= seed <= LARGEST_SEED:
        faults.append(Fault("seed", f"{seed} is out of range", "0 to 2^63 - 1"))
    if throws is not None and not 1 <= throws <= MOST_THROWS:
        faults.append(Fault("throws", f"{throws} is out of range", f"1 to {MOST_THROWS:,}"))
    if faults:
        raise InputError(faults, source)


def one_blas_thread() -> AbstractContextManager[object]:
    """Work with one thread inside BLAS: the matrices are many and small, threads would only wait for each other."""
    limited: AbstractContextManager[object] = _thread_pools().limit(limits=1, user_api="blas")
    return limited


@cache
def _thread_pools() -> ThreadpoolController:
    """Find the thread pools that numpy loaded; it takes 2 ms, so once."""
    return ThreadpoolController()


def threads_for(throws: int) -> int:
    """Threads to fly so many throws with."""
    if throws < _THROWS_WORTH_A_THREAD:
        return 1
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def random_stream(seed: int, *purpose: str) -> np.random.Generator:
    """Return a source of random numbers of its own for a seed and a purpose."""
    return np.random.Generator(np.random.Philox(np.random.SeedSequence([seed, *"/".join(purpose).encode()])))
