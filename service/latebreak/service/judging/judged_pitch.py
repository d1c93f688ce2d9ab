"""The judged pitch: versions of a pitch before a hitter. All that the service asks of perception is asked here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache, partial

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.aim import MeanPitches
from latebreak.engine.bundle import Bundle
from latebreak.engine.draws import FEWEST_BLOCKS
from latebreak.engine.flight import Flight
from latebreak.engine.units import DEGREE, FOOT, MILLISECOND
from latebreak.perception.events import moments
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import Hitter, Traits, preset, uncertain_traits
from latebreak.perception.measures import THROW_MEASURES, both_arrive, throw_measures
from latebreak.perception.model import HitterModel
from latebreak.perception.registry import DEFAULT, hitter_model
from latebreak.perception.separation import same_line, same_line_separation
from latebreak.perception.sight import angular_size
from latebreak.perception.swing import MEMORY, SWING, Readiness
from latebreak.perception.templates import Template, remember
from latebreak.perception.unfolding import unfold
from latebreak.perception.view import LOOK, view
from latebreak.service.judging.setting import Setting, random_stream
from latebreak.service.scenario import Scenario

__all__ = [
    "EVENT_ROWS",
    "FLIGHT_ROWS",
    "SWING_ROWS",
    "Hitter",
    "JudgedPitch",
    "Memory",
    "Parameters",
    "face",
    "hitter_members",
    "hitter_of",
]

Array = NDArray[np.float64]
#: Parameters of hitters side by side.
Parameters = Traits
#: What the hitter remembers of pitches, by name and number of columns, made when first asked for.
Memory = dict[tuple[str, int], Template]

#: Rows of what is measured of a throw, in SI units and rad: of its flight, then of the swing at it.
FLIGHT_ROWS, SWING_ROWS = THROW_MEASURES, SWING
#: Rows of what is told of an event: m from the plate, s after release, s before arrival, whether it happens.
EVENT_ROWS = 4
_LOOKS_AT_A_TIME = 8  # drawn, so that pitches of nearly the same view share their noise


@dataclass(frozen=True, eq=False)
class JudgedPitch:
    """A pitch before a hitter, beside the fastball of the same throw; m columns: versions of it, or an ensemble of one.

    Attributes
    ----------
    name, fastball : str
        The pitch and the reference fastball.
    setting : Setting
        Scenario and conditions.
    hitter, model : Hitter, HitterModel
        Who hits, and how.
    bundles : dict of str to Bundle
        The pitches, by name.
    means : dict of str to MeanPitches
        The same, aimed; m columns.
    readiness : Readiness
        What the hitter brings to this pitch.
    usable : bool array, shape (m, MEMBERS + 1)
        Members of the ensemble in which a version and every other pitch in mind can be thrown; one column without.
    ensemble : tuple of JudgedPitch
        Each version under what is not known: MEMBERS + 1 columns; empty for no interval.
    """

    name: str
    fastball: str
    setting: Setting
    hitter: Hitter
    model: HitterModel
    bundles: Mapping[str, Bundle]
    means: Mapping[str, MeanPitches]
    readiness: Readiness
    usable: NDArray[np.bool_] = field(default_factory=lambda: np.ones((1, 1), dtype=bool))
    ensemble: tuple[JudgedPitch, ...] = ()

    @property
    def columns(self) -> int:
        """Number of columns, m."""
        return int(self.means[self.name].seam.size)

    # --- throws -----------------------------------------------------------------------------------------------------
    def throws(
        self, normals: Array, noise: Array, *, flight: bool = True, swing: bool = True
    ) -> tuple[Array, NDArray[np.bool_]]:
        """Measure throws.

        Parameters
        ----------
        normals : float64 array, shape (9, n)
            Of the throws.
        noise : float64 array
            Of the hitter, from `noise`.
        flight, swing : bool
            Which rows are wanted; the others are NaN.

        Returns
        -------
        values : float64 array, shape (13, n, m)
            Rows as in `FLIGHT_ROWS` and `SWING_ROWS`; 0 for a throw that is not kept.
        keep : bool array, shape (n, m)
            Whether the throw arrived, as did the fastball of the same normals.
        """
        n, m, first = normals.shape[1], self.columns, len(FLIGHT_ROWS)
        values = np.full((first + len(SWING_ROWS), n, m), np.nan)
        pair = (*self._releases(self.name, normals), *self._releases(self.fastball, normals))
        if flight:
            flown, keep = throw_measures(*pair, self.hitter.eye.place, self.hitter.commit_before_arrival)
            values[:first] = flown.reshape(first, n, m)
        else:
            keep = both_arrive(*pair)
        if swing:
            values[first:] = self.model.swing(self.readiness, normals, noise).reshape(-1, n, m)
        keep = keep.reshape(n, m)
        return np.where(keep, values, 0.0), keep

    def noise(self, block: int, throws: int) -> Array:
        """Noise of the hitter for a block of throws; the same for every pitch with as many types to tell apart."""
        rows = self.readiness.recognition.factor.shape[-1] + MEMORY
        return _noise_of_block(self.setting.draws.seed, block, rows, throws)

    def _releases(self, name: str, normals: Array) -> tuple[Flight, Array]:
        """Flight and releases (15, n m): all columns of the first throw, then of the second, ..."""
        bundle, mean = self.bundles[name], self.means[name]
        if mean.seam.size == 1:
            return bundle.flight, bundle.releases(normals)
        scatter = (bundle.factor @ normals)[:, :, None]
        if mean.spread_scale is not None:
            scatter = scatter * mean.spread_scale[:, None, :]
        levers = mean.levers[:, None, :] + scatter
        return bundle.flight, mean.releases(levers.reshape(len(levers), -1))

    # --- events -----------------------------------------------------------------------------------------------------
    def events(self, normals: Array, spacing: float = LOOK) -> Array:
        """Tell when throws are recognised and their break appears: (2 events, EVENT_ROWS, n, m), normals (9, n).

        What never happens is at the plate. `spacing`, s, is that of the moments at which the hitter is asked.
        """
        e, flight = self.readiness.encounter, self.bundles[self.name].flight
        place = view(self.same_line, self.bundles[self.fastball].flight, e.looks, ()).place
        noise = partial(_noise_of_looks, self.setting.draws.seed, normals.shape[1])
        arrival, told = e.arrival[:, 0], []
        for event in moments(e, place, self.setting.conditions.ball.radius, normals, noise, spacing):
            time = np.where(event.reached, event.time, arrival)
            columns = [np.interp(time[:, j], e.looks, e.place[j, :, 1]) for j in range(self.columns)]
            distance = np.where(event.reached, np.stack(columns, axis=1) - flight.plate, 0.0)
            told.append(np.stack([distance, time, arrival - time, event.reached]))
        return np.stack(told)

    def separation(self) -> Array:
        """Tell when the mean pitch separates from the fastball on its line: (EVENT_ROWS, m)."""
        pitch, fastball = self.bundles[self.name], self.bundles[self.fastball]
        found = same_line_separation(
            self.means[self.name],
            pitch.flight,
            self.means[self.fastball],
            fastball.flight,
            pitch.factor,
            self.hitter.eye.place,
            self.readiness.encounter.traits,
        )
        return np.stack([found.distance, found.after_release, found.before_arrival, found.reached])

    # --- what can be drawn ------------------------------------------------------------------------------------------
    @property
    def same_line(self) -> MeanPitches:
        """The fastball thrown from the pitch's release point along its launch direction."""
        return same_line(self.means[self.name], self.means[self.fastball])

    @property
    def commit_time(self) -> float:
        """Commit point of the first column, s after release."""
        return float(self.readiness.encounter.arrival[0, 0] - self.hitter.commit_before_arrival)

    def belief_and_forecast(self, normals: Array) -> tuple[Array, tuple[str, ...], Array, Array]:
        """Follow what the hitter makes of throws of the first column, normals (9, n), over C times.

        Returns
        -------
        time : float64 array, shape (C,)
            s after release.
        types : tuple of str
            The H pitches he has in mind.
        belief : float64 array, shape (n, C, H)
            In each of them, 0 to 1.
        forecast : float64 array, shape (n, C, 3)
            Arrival time (s), height and side (m) that he expects of the mean pitch; its own, less his error.
        """
        e = self.readiness.encounter
        seen = unfold(self.model, self.readiness, normals, random_stream(self.setting.draws.seed, "portrait"))
        return seen.time, e.names, seen.belief, e.arrival[0] - seen.error

    def apparent_size(self, place: Array) -> Array:
        """Angular diameter (...), rad, of the ball at places (..., 3), m, to the hitter's eye."""
        return angular_size(place, self.hitter.eye.place, self.setting.conditions.ball.radius)


def face(
    setting: Setting,
    hitter: Hitter,
    parameters: Parameters,
    mix: Mapping[str, float],
    fastball: str,
    bundles: Mapping[str, Bundle],
    means: Mapping[str, MeanPitches],
    memory: Memory,
) -> JudgedPitch:
    """Put a pitch before a hitter.

    Parameters
    ----------
    setting : Setting
        Scenario and conditions.
    hitter : Hitter
        Who hits.
    parameters : Parameters
        His parameters, m columns.
    mix : mapping of str to float
        Shares of the types that he has in mind; the judged pitch is the last.
    fastball : str
        The reference fastball.
    bundles, means : mappings of str to Bundle and to MeanPitches
        The pitches, and the same in m columns.
    memory : Memory
        What he remembers of the others, filled as needed.
    """
    scenario, model = setting.scenario, hitter_model(setting.scenario.hitter.model or DEFAULT)
    *others, name = mix
    columns = means[name].seam.size

    def template(one: str) -> Template:
        # the share is of the mix, not of the memory
        return remember(
            one, 0.0, means[one], bundles[one].flight, setting.conditions, hitter.level, scenario.pitch[one].role,
            scenario.pitcher.hand, hitter.familiarity,
        )  # fmt: skip

    for one in others:
        if (one, columns) not in memory:
            memory[one, columns] = template(one)
    templates = [*(memory[one, columns] for one in others), template(name)]
    shared = [replace(one, share=share) for one, share in zip(templates, mix.values(), strict=True)]
    types, own = model.imagine(shared, len(others))
    bundle = bundles[name]
    encounter = model.meet(means[name], bundle.flight, bundle.factor, types, own, hitter, model.traits(parameters))
    return JudgedPitch(name, fastball, setting, hitter, model, bundles, means, model.ready(encounter))


def hitter_of(scenario: Scenario) -> Hitter:
    """Return the hitter of a scenario: the preset of the level with what the file says."""
    entry = scenario.hitter
    overrides = {
        "evidence_efficiency": (entry.evidence_efficiency, 1.0),
        "speed_error": (entry.template_speed_error_percent, 0.01),
        "movement_error": (entry.template_movement_error_percent, 0.01),
        "direction_error": (entry.template_direction_error_deg, DEGREE),
    }
    return preset(
        entry.level,
        Eye(entry.eye_side_ft * FOOT, entry.eye_height_ft * FOOT, entry.eye_depth_ft * FOOT, entry.bats),
        entry.commit_before_arrival_ms * MILLISECOND,
        entry.familiarity,
        **{trait: value * unit for trait, (value, unit) in overrides.items() if value is not None},
    )


def hitter_members(hitter: Hitter, members: int, seed: int) -> Parameters:
    """Sample the parameters of a hitter that nobody knows well: members + 1 columns, his own first."""
    return uncertain_traits(hitter, members, random_stream(seed, "hitter"))


@lru_cache(maxsize=FEWEST_BLOCKS)
def _noise_of_block(seed: int, block: int, rows: int, throws: int) -> Array:
    """Draw noise; kept, as the points of a seed are, because the pitches of a small question share it."""
    return random_stream(seed, "noise", str(block)).standard_normal((rows, throws))


def _noise_of_looks(seed: int, throws: int, looks: int) -> Array:
    """Noise of the first looks of throws, (3 looks, 2, n): drawn look by look, so that a longer view adds to it."""
    return _noise_of_view(seed, throws, -(-looks // _LOOKS_AT_A_TIME) * _LOOKS_AT_A_TIME)[: 3 * looks]


@lru_cache(maxsize=4)
def _noise_of_view(seed: int, throws: int, looks: int) -> Array:
    """Draw noise; kept because all pitches of a question share it."""
    return random_stream(seed, "looks").standard_normal((3 * looks, 2, throws))
