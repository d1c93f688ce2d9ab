"""The judged pitch: versions of a pitch before a hitter. Perception is asked here and in `hitter`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.bundle import Bundle
from latebreak.engine.flight.kernel import AT_TIME, AT_X, AT_Z
from latebreak.engine.pitch.aim import MeanPitches
from latebreak.engine.stopping import checkpoint
from latebreak.perception.forecast import FORECAST_X, FORECAST_Z, TIME_TO_GO
from latebreak.perception.measures import THROW_MEASURES, throw_measures
from latebreak.perception.moments import MOMENTS, SPACING, moments
from latebreak.perception.parameters import Parameters
from latebreak.perception.repertoire import Types
from latebreak.perception.seeing import REMAINING
from latebreak.perception.sight import angular_size
from latebreak.perception.tally import TALLY, added_up, tally
from latebreak.perception.timing import moment
from latebreak.service.judging.batch import Batch, Flown
from latebreak.service.judging.hitter import Hitter
from latebreak.service.judging.setting import Setting

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

#: Rows of what is measured of a throw, in SI units and rad: of its flight, then of what the hitter makes of it.
FLIGHT_ROWS = THROW_MEASURES
SWING_ROWS = TALLY
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
    def flown(self, batch: Batch) -> tuple[Array, Array]:
        """Measure the flights of throws.

        Parameters
        ----------
        batch : Batch
            n throws in k blocks.

        Returns
        -------
        sums : float64 array, shape (7, m, k)
            Over each block of the throws that count: those that arrived in the air, as did the fastball of the same
            draws. Rows as in `FLIGHT_ROWS`.
        counts : float64 array, shape (m, k)
            How many count.
        """
        thrown, fastball = self._thrown(batch), batch.flown(self.bundles[self.fastball], self.means[self.fastball])
        n, p = batch.normals.shape[1], self.parameters
        values = throw_measures(
            self.bundles[self.name].flight, thrown.paths, fastball.paths, self.hitter.eye.place,
            np.repeat(p.commit, n), np.repeat(p.commit + p.latency, n),
        )  # fmt: skip
        keep, shape = thrown.arrived & fastball.arrived, (self.columns, n)
        return added_up(values.reshape(-1, *shape), keep.reshape(shape), batch.ends)

    def faced(self, batch: Batch) -> tuple[Array, Array]:
        """Let the hitter face throws.

        Parameters
        ----------
        batch : Batch
            n throws in k blocks.

        Returns
        -------
        sums : float64 array, shape (13, h m, k)
            Over each block of the throws that count: those that came to the plate; one that touched the ground before
            is a ball that nobody meets. All columns of the first of h minds, then of the second, ...; rows as in
            `SWING_ROWS`.
        counts : float64 array, shape (h m, k)
            How many count.
        """
        thrown = self._thrown(batch)
        situation, shape = self.hitter.situation, (self.columns, batch.normals.shape[1])
        model, parameters = self.hitter.model, self.parameters
        glance = model.look(thrown.paths, self.types, parameters, situation)
        side, height = (thrown.paths.arrivals[row].reshape(shape) for row in (AT_X, AT_Z))
        arrived, bounced = thrown.arrived.reshape(shape), thrown.bounced.reshape(shape)
        zone = situation.zone.holds(side, height) & ~bounced
        sums, counts = [], []
        for types in self.minds:
            judged = model.weigh(glance, types, parameters, situation, batch.noise)
            found = tally(judged, types.names.index(self.name), zone, ~bounced, arrived | bounced, batch.ends)
            sums.append(found[0])
            counts.append(found[1])
        return np.concatenate(sums, axis=1), np.concatenate(counts)

    def _thrown(self, batch: Batch) -> Flown:
        return batch.flown(self.bundles[self.name], self.means[self.name])

    # --- events -----------------------------------------------------------------------------------------------------
    def events(self, batch: Batch, spacing: float = SPACING) -> Array:
        """Tell when things happen to the n throws of a batch: (3 events, EVENT_ROWS, m, n).

        What never happens is at the plate. `spacing`, s, is that of the times at which the hitter is asked.
        """
        paths, n, hitter = self._thrown(batch).paths, batch.normals.shape[1], self.hitter
        found = moments(
            hitter.model, paths, self.types, self.own, self.parameters, hitter.situation, batch.noise, spacing
        )
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

    def misjudgement(self, batch: Batch) -> Array:
        """Tell how far off the arrivals of n throws of the first column he expects them as he decides.

        Returns
        -------
        float64 array, shape (n, 3)
            Later (s), to the catcher's right, higher (m) than it arrives.
        """
        paths = self._thrown(batch).paths
        judged = self.hitter.model.judge(paths, self.types, self.parameters, self.hitter.situation, batch.noise)
        forecast = judged.forecast[:, 0]
        late = forecast[TIME_TO_GO] - judged.glance[REMAINING, 0]
        ends = paths.arrivals[[AT_X, AT_Z]].reshape(2, self.columns, -1)[:, 0]
        right, above = forecast[[FORECAST_X, FORECAST_Z]] - ends
        return np.stack([late, right, above], axis=1)

    def belief(self, batch: Batch) -> tuple[Array, tuple[str, ...], Array]:
        """Follow what the hitter believes of n throws of the first column over C times.

        Returns
        -------
        time : float64 array, shape (C,)
            s after release: when he knows what he saw a latency before.
        types : tuple of str
            The H pitches he has in mind.
        belief : float64 array, shape (n, C, H)
            In each of them, 0 to 1.
        """
        paths, model, situation = self._thrown(batch).paths, self.hitter.model, self.hitter.situation
        p = model.parameters(self.parameters)
        arrival = paths.arrivals[AT_TIME].reshape(1, -1)
        times = np.arange(_PORTRAIT_SPACING, float(self._mean_arrival[0]) - float(p.latency[0]), _PORTRAIT_SPACING)
        beliefs = []
        for t in times:
            checkpoint()
            glance = model.see(paths, np.minimum(t, arrival), p, situation.same_side)
            beliefs.append(model.believe(glance, self.types, p, batch.noise)[:, 0].T)
        return times + float(p.latency[0]), self.types.names, np.stack(beliefs, axis=1)

    @property
    def latency(self) -> float:
        """From what is seen to what is known, s."""
        return float(self.hitter.model.parameters(self.parameters).latency[0])

    def apparent_size(self, place: Array) -> Array:
        """Angular diameter (...), rad, of the ball at places (..., 3), m, to the hitter's eye."""
        return angular_size(place, self.hitter.eye.place, self.setting.conditions.ball.radius)
