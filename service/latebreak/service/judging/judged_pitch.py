"""The judged pitch: versions of a pitch before a hitter. Perception is asked here and in `hitter`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.bundle import Bundle
from latebreak.engine.bundle.draws import FEWEST_BLOCKS
from latebreak.engine.flight.flying import Flight, Paths
from latebreak.engine.flight.kernel import AT_TIME, AT_X, AT_Z
from latebreak.engine.flight.outcome import BOUNCED, has_arrived, outcomes
from latebreak.engine.pitch.aim import MeanPitches
from latebreak.engine.stopping import checkpoint
from latebreak.perception.bat import CLEAN, CONTACT
from latebreak.perception.forecast import FORECAST_X, FORECAST_Z, TIME_TO_GO
from latebreak.perception.measures import THROW_MEASURES, throw_measures
from latebreak.perception.moments import MOMENTS, SPACING, moments
from latebreak.perception.parameters import Parameters
from latebreak.perception.repertoire import Types
from latebreak.perception.seeing import NOISE, REMAINING
from latebreak.perception.sight import angular_size
from latebreak.perception.timing import moment
from latebreak.service.judging.hitter import Hitter
from latebreak.service.judging.setting import Setting, random_stream

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

#: Rows of what is measured of a throw, in SI units and rad: of its flight, then of what the hitter makes of it.
FLIGHT_ROWS = THROW_MEASURES
SWING_ROWS = (
    "swing", "zone", "chase", "called_strike", "swinging_strike", "ball", "contact", "clean",
    "belief_at_commit", "vertical", "side", "square", "timing",
)  # fmt: skip
#: What may happen on the way, and the rows that are told of it: m from the plate, s after release, s before arrival,
#: whether it happens.
EVENTS = MOMENTS
EVENT_ROWS = 4
#: s between the times at which the hitter is asked where his belief is drawn.
_PORTRAIT_SPACING = 0.010


@dataclass(frozen=True, eq=False)
class JudgedPitch:
    """A pitch before a hitter, beside the fastball of the same throw; m columns: versions of it, or an ensemble of one.

    Attributes
    ----------
    name, fastball : str
        The pitch and the reference fastball.
    setting : Setting
        Scenario and conditions.
    hitter : Hitter
        Who hits.
    parameters : Parameters
        His, m columns.
    bundles : dict of str to Bundle
        The pitches, by name.
    means : dict of str to MeanPitches
        The same, aimed; m columns.
    minds : tuple of Types
        What hitters have in mind who face the same throws, the fastball first; mostly one, m columns each.
    usable : bool array, shape (v, MEMBERS + 1)
        Members of the ensemble in which a version (of several minds: the pitch) and every other pitch in mind can be
        thrown; one column without.
    ensemble : tuple of JudgedPitch
        Each version under what is not known: MEMBERS + 1 columns; empty for no interval.
    """

    name: str
    fastball: str
    setting: Setting
    hitter: Hitter
    parameters: Parameters
    bundles: Mapping[str, Bundle]
    means: Mapping[str, MeanPitches]
    minds: tuple[Types, ...]
    usable: Flags = field(default_factory=lambda: np.ones((1, 1), dtype=bool))
    ensemble: tuple[JudgedPitch, ...] = ()

    @property
    def columns(self) -> int:
        """Number of columns, m."""
        return int(self.means[self.name].seam.size)

    @property
    def types(self) -> Types:
        """What the first hitter has in mind."""
        return self.minds[0]

    @property
    def own(self) -> int:
        """Number of the judged pitch among those types."""
        return self.types.names.index(self.name)

    # --- throws -----------------------------------------------------------------------------------------------------
    def flown(self, normals: Array) -> tuple[Array, Flags]:
        """Measure the flights of throws.

        Parameters
        ----------
        normals : float64 array, shape (13, n)
            Of the throws.

        Returns
        -------
        values : float64 array, shape (7, m, n)
            Rows as in `FLIGHT_ROWS`; 0 for a throw that is not kept.
        keep : bool array, shape (m, n)
            Whether the throw arrived in the air, as did the fastball of the same normals.
        """
        (flight, pitch), (other, fastball) = self._paths(self.name, normals), self._paths(self.fastball, normals)
        n, p = normals.shape[1], self.parameters
        news = p.commit + p.latency
        values = throw_measures(
            flight, pitch, fastball, self.hitter.eye.place, np.repeat(p.commit, n), np.repeat(news, n)
        )
        keep = has_arrived(_outcomes(flight, pitch)) & has_arrived(_outcomes(other, fastball))
        shape = (self.columns, n)
        return np.where(keep, values, 0.0).reshape(-1, *shape), keep.reshape(shape)

    def faced(self, normals: Array, noise: Array) -> tuple[Array, Flags]:
        """Let the hitter face throws.

        Parameters
        ----------
        normals : float64 array, shape (13, n)
            Of the throws.
        noise : float64 array, shape (9, n)
            Of the hitter, from `noise`.

        Returns
        -------
        values : float64 array, shape (13, k m, n)
            Rows as in `SWING_ROWS`, all columns of the first of k minds, then of the second, ...; 0 for a throw that is
            not kept.
        keep : bool array, shape (k m, n)
            Whether the throw came to the plate; one that touched the ground before counts, as a ball that nobody meets.
        """
        flight, paths = self._paths(self.name, normals)
        situation, shape = self.hitter.situation, (self.columns, normals.shape[1])
        model, parameters = self.hitter.model, self.parameters
        glance = model.look(paths, self.types, parameters, situation)
        code = _outcomes(flight, paths).reshape(shape)
        bounced = code == BOUNCED
        side, height = (paths.arrivals[row].reshape(shape) for row in (AT_X, AT_Z))
        zone = situation.zone.holds(side, height) & ~bounced
        keep, values = has_arrived(code) | bounced, []
        for types in self.minds:
            judged = model.weigh(glance, types, parameters, situation, noise)
            swing, met = judged.swing, np.where(bounced, 0.0, judged.contact[CONTACT])
            off_x, off_z = side - judged.forecast[FORECAST_X], height - judged.forecast[FORECAST_Z]
            rows = np.stack([
                swing, zone, swing * ~zone, (1.0 - swing) * zone, swing * (1.0 - met), (1.0 - swing) * ~zone,
                swing * met, swing * np.where(bounced, 0.0, judged.contact[CLEAN]),
                judged.belief[types.names.index(self.name)], off_z, off_x, off_x**2 + off_z**2,
                glance[REMAINING] - judged.forecast[TIME_TO_GO],
            ])  # fmt: skip
            values.append(np.where(keep, rows, 0.0))
        return np.concatenate(values, axis=1), np.tile(keep, (len(self.minds), 1))

    def noise(self, block: int, throws: int) -> Array:
        """Noise of the hitter for a block of throws; the same for every pitch."""
        return _noise_of_block(self.setting.draws.seed, block, throws)

    def _paths(self, name: str, normals: Array) -> tuple[Flight, Paths]:
        """Flight and paths: all throws of the first column, then of the second, ..."""
        bundle, mean = self.bundles[name], self.means[name]
        releases = bundle.releases(normals) if mean.seam.size == 1 else bundle.scattered(mean, normals)
        return bundle.flight, bundle.flight.paths(releases)

    # --- events -----------------------------------------------------------------------------------------------------
    def events(self, normals: Array, spacing: float = SPACING) -> Array:
        """Tell when things happen to throws: (3 events, EVENT_ROWS, m, n), normals (13, n).

        What never happens is at the plate. `spacing`, s, is that of the times at which the hitter is asked.
        """
        _, paths = self._paths(self.name, normals)
        n = normals.shape[1]
        noise, hitter = self.noise(0, n), self.hitter
        found = moments(hitter.model, paths, self.types, self.own, self.parameters, hitter.situation, noise, spacing)
        arrival = paths.arrivals[AT_TIME].reshape(self.columns, n)
        told = []
        for time, reached in zip(found.time, found.reached, strict=True):
            y = paths.at(time.reshape(1, -1))[0, 1].reshape(self.columns, n)
            told.append(np.stack([np.where(reached, y - paths.plate, 0.0), time, arrival - time, reached]))
        return np.stack(told)

    # --- what can be drawn ------------------------------------------------------------------------------------------
    @property
    def last_look(self) -> float:
        """When the hitter decides about the first column's mean pitch, s after release: nothing later counts."""
        p = self.hitter.model.parameters(self.parameters)
        return float(moment(self._mean_arrival, self.types.ready_time, p)[0])

    @property
    def _mean_arrival(self) -> Array:
        """Flight time of the first column's mean pitch, s: (1,)."""
        return self.bundles[self.name].flight.arrivals(self.means[self.name].releases())[AT_TIME, :1]

    def misjudgement(self, normals: Array) -> Array:
        """Tell how far off the arrivals of throws of the first column he expects them as he decides.

        Parameters
        ----------
        normals : float64 array, shape (13, n)
            Of the throws.

        Returns
        -------
        float64 array, shape (n, 3)
            Later (s), to the catcher's right, higher (m) than it arrives.
        """
        _, paths = self._paths(self.name, normals)
        noise = self.noise(0, normals.shape[1])
        judged = self.hitter.model.judge(paths, self.types, self.parameters, self.hitter.situation, noise)
        forecast = judged.forecast[:, 0]
        late = forecast[TIME_TO_GO] - judged.glance[REMAINING, 0]
        ends = paths.arrivals[[AT_X, AT_Z]].reshape(2, self.columns, -1)[:, 0]
        right, above = forecast[[FORECAST_X, FORECAST_Z]] - ends
        return np.stack([late, right, above], axis=1)

    def belief(self, normals: Array) -> tuple[Array, tuple[str, ...], Array]:
        """Follow what the hitter believes of throws of the first column, normals (13, n), over C times.

        Returns
        -------
        time : float64 array, shape (C,)
            s after release: when he knows what he saw a latency before.
        types : tuple of str
            The H pitches he has in mind.
        belief : float64 array, shape (n, C, H)
            In each of them, 0 to 1.
        """
        _, paths = self._paths(self.name, normals)
        model, situation, n = self.hitter.model, self.hitter.situation, normals.shape[1]
        p, noise = model.parameters(self.parameters), self.noise(0, n)
        arrival = paths.arrivals[AT_TIME].reshape(1, n)
        times = np.arange(_PORTRAIT_SPACING, float(self._mean_arrival[0]) - float(p.latency[0]), _PORTRAIT_SPACING)
        beliefs = []
        for t in times:
            checkpoint()
            glance = model.see(paths, np.minimum(t, arrival), p, situation.same_side)
            beliefs.append(model.believe(glance, self.types, p, noise)[:, 0].T)
        return times + float(p.latency[0]), self.types.names, np.stack(beliefs, axis=1)

    @property
    def latency(self) -> float:
        """From what is seen to what is known, s."""
        return float(self.hitter.model.parameters(self.parameters).latency[0])

    def apparent_size(self, place: Array) -> Array:
        """Angular diameter (...), rad, of the ball at places (..., 3), m, to the hitter's eye."""
        return angular_size(place, self.hitter.eye.place, self.setting.conditions.ball.radius)


def _outcomes(flight: Flight, paths: Paths) -> NDArray[np.int8]:
    return outcomes(paths.releases, paths.arrivals, flight.constants.radius)


@lru_cache(maxsize=FEWEST_BLOCKS)
def _noise_of_block(seed: int, block: int, throws: int) -> Array:
    """Draw noise; kept, as the points of a seed are, because the pitches of a small question share it."""
    return random_stream(seed, "noise", str(block)).standard_normal((len(NOISE), throws))
