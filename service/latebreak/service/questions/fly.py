"""The question where these pitches go."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import isfinite

from latebreak.engine.bundle.arrival import QUANTITIES, Arrivals, arrive
from latebreak.engine.bundle.movement import CAUSES, movements
from latebreak.engine.units import INCH
from latebreak.service.judging.estimates import finite
from latebreak.service.judging.setting import Progress, settle
from latebreak.service.plain import LIFTED
from latebreak.service.quantities.units import unit_of
from latebreak.service.questions.answer import Answer, OverThrows, answer_to
from latebreak.service.scenario import Source

#: Keys of the answer with the size of their unit in SI, in the order of `QUANTITIES`.
KEYS = {
    key: unit_of(key).si
    for key in (
        "flight_time_s", "arrival_speed_mph", "arrival_side_ft", "arrival_height_ft", "induced_vertical_break_in",
        "induced_side_break_in", "vertical_approach_deg", "side_approach_deg", "launch_elevation_deg",
        "launch_azimuth_deg",
    )
}  # fmt: skip
if any(not key.startswith(quantity) for key, quantity in zip(KEYS, QUANTITIES, strict=True)):
    raise AssertionError("the keys of the answer and the engine's quantities are out of step")


@dataclass(frozen=True)
class Movement:
    """What one cause adds to the arrival of a mean pitch; None where that does not arrive.

    Attributes
    ----------
    vertical_in, side_in : float or None
        Up, and toward the catcher's right.
    """

    vertical_in: float | None
    side_in: float | None


@dataclass(frozen=True)
class PitchArrivals:
    """Where one pitch goes.

    Attributes
    ----------
    quantities : dict of str to OverThrows
        By key, over the throws that arrived.
    outcomes : dict of str to int
        How many throws ended how.
    movement : dict of str to Movement
        Of the mean pitch, by cause: gravity, drag, spin, seams.
    """

    quantities: dict[str, OverThrows] = field(metadata=LIFTED)
    outcomes: dict[str, int]
    movement: dict[str, Movement] = field(default_factory=dict)


@dataclass(frozen=True)
class FlyResult:
    """Where every pitch of a scenario goes, by name."""

    pitches: dict[str, PitchArrivals]


def fly(
    source: Source, *, seed: int | None = None, throws: int | None = None, progress: Progress = lambda share: None
) -> Answer[FlyResult]:
    """Fly every pitch of a scenario.

    Parameters
    ----------
    source : Scenario, Loaded, str or Path
        A scenario, or the path or ready name of one.
    seed, throws : int, optional
        In place of the scenario's own.
    progress : callable, optional
        Told the share of the work that is done.

    Returns
    -------
    Answer of FlyResult
        Units are in the keys.

    Raises
    ------
    InputError
        If the scenario is at fault.
    ScenarioFileError
        If there is no such scenario.
    """
    setting = settle(source, seed, throws)
    bundles = setting.bundles(list(setting.pitches))
    done, total = 0, setting.draws.throws * len(bundles)

    def count(throws: int) -> None:
        nonlocal done
        done += throws
        progress(done / total)

    found, warnings = {}, [*setting.warnings, *setting.fit_warnings(bundles)]
    for name, bundle in bundles.items():
        arrivals = arrive(bundle, setting.draws, setting.threads, count)
        causes = {
            cause: Movement(*(finite(float(way) / INCH) for way in one))
            for cause, one in zip(CAUSES, movements(bundle), strict=True)
        }
        found[name] = replace(_in_trade_units(arrivals), movement=causes)
        warnings += _outcome_warnings(name, arrivals.outcomes)
    scenario = setting.scenario
    return answer_to(
        "fly",
        scenario,
        warnings,
        FlyResult(found),
    )


def _in_trade_units(arrivals: Arrivals) -> PitchArrivals:
    summary = arrivals.summary
    quantities = {}
    for row, (key, unit) in enumerate(KEYS.items()):
        numbers = (summary.mean, summary.sd, summary.low, summary.high, summary.sampling_error)
        told = (float(array[row]) / unit for array in numbers)
        quantities[key] = OverThrows(*(number if summary.count and isfinite(number) else None for number in told))
    return PitchArrivals(quantities, arrivals.outcomes)


def _outcome_warnings(name: str, outcomes: dict[str, int]) -> list[str]:
    total = sum(outcomes.values())
    result = []
    lost = total - outcomes["arrived"] - outcomes["arrived_steep"]
    if lost == total:
        result.append(f"pitch.{name}: no throw reached the plate in the air")
    elif lost > 0.1 * total:
        result.append(f"pitch.{name}: {100 * lost / total:.0f} % of the throws did not reach the plate in the air")
    if outcomes["arrived_steep"]:
        result.append(f"pitch.{name}: {outcomes['arrived_steep']} throws came in as steep lobs, which are less exact")
    return result
