"""Mean pitches and where they are aimed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.flying import EXACT_STEPS, Flight
from latebreak.engine.flight.kernel import DRAG_SCALE, LIFT_SCALE, SEAM
from latebreak.engine.pitch.launch import solve_launches
from latebreak.engine.pitch.pitch import LEVERS, Launch, Pitch
from latebreak.engine.pitch.release import releases
from latebreak.engine.units import STANDARD_GRAVITY

Array = NDArray[np.float64]

SPEED, SPIN_RATE, BREAK_CLOCK, GYRO, SIDE, HEIGHT, EXTENSION, ELEVATION, AZIMUTH = range(len(LEVERS))


@dataclass(frozen=True, eq=False)
class MeanPitches:
    """Mean pitches side by side, one column each: a pitch under several sets of coefficients, say.

    Attributes
    ----------
    levers : float64 array, shape (9, m)
        In the order of `LEVERS`, SI units and rad.
    target : float64 array, shape (2, m), or None
        Side and height at the plate, m; None where the launch angles are given.
    seam, drag_scale, lift_scale : float64 array, shape (m,)
        As in `Pitch`.
    seam_clock : float
        rad.
    rubber : float
        m, from the rubber to the back point of the plate.
    spread_scale : float64 array, shape (9, m), or None
        Factors on the standard deviations of the levers, where each column scatters in its own way; None = as they are.
    """

    levers: Array
    target: Array | None
    seam: Array
    drag_scale: Array
    lift_scale: Array
    seam_clock: float
    rubber: float
    spread_scale: Array | None = None

    def factors(self, factor: Array) -> Array:
        """Factor of the covariance of each column, shape (m, 9, 9); `factor` itself where all scatter alike."""
        return factor if self.spread_scale is None else self.spread_scale.T[:, :, None] * factor

    def columns(self, numbers: NDArray[np.int64]) -> MeanPitches:
        """Return the pitches of some columns, in this order."""
        return replace(
            self,
            levers=self.levers[:, numbers],
            target=None if self.target is None else self.target[:, numbers],
            seam=self.seam[numbers],
            drag_scale=self.drag_scale[numbers],
            lift_scale=self.lift_scale[numbers],
            spread_scale=None if self.spread_scale is None else self.spread_scale[:, numbers],
        )

    def releases(self, levers: Array | None = None) -> Array:
        """Releases, shape (15, m) or (15, m k) for levers of shape (9, m k) that repeat the columns k times."""
        levers = self.levers if levers is None else levers
        result = releases(levers, self.rubber, seam_clock=self.seam_clock)
        each = result.reshape(len(result), -1, self.seam.size)
        each[SEAM], each[DRAG_SCALE], each[LIFT_SCALE] = self.seam, self.drag_scale, self.lift_scale
        return result


def mean_pitches(pitch: Pitch, rubber: float, columns: int = 1) -> MeanPitches:
    """Return a pitch as `columns` equal mean pitches, not yet aimed."""
    aim = pitch.aim
    angles = (aim.elevation, aim.azimuth) if isinstance(aim, Launch) else (0.0, 0.0)
    levers = np.array([*(getattr(pitch, name) for name in LEVERS[:7]), *angles])
    target = None if isinstance(aim, Launch) else np.tile([[aim.side], [aim.height]], columns)
    return MeanPitches(
        levers=np.tile(levers[:, None], columns),
        target=target,
        seam=np.full(columns, pitch.seam_force),
        drag_scale=np.full(columns, pitch.drag_scale),
        lift_scale=np.full(columns, pitch.lift_scale),
        seam_clock=pitch.seam_clock,
        rubber=rubber,
    )


def side_by_side(pitches: Sequence[MeanPitches]) -> MeanPitches:
    """Put the columns of several mean pitches side by side; field, seam direction and kind of aim are the first's."""
    first = pitches[0]
    targets = [one.target for one in pitches if one.target is not None]
    scales = [one.spread_scale for one in pitches if one.spread_scale is not None]
    return replace(
        first,
        levers=np.concatenate([one.levers for one in pitches], axis=1),
        target=np.concatenate(targets, axis=1) if targets else None,
        seam=np.concatenate([one.seam for one in pitches]),
        drag_scale=np.concatenate([one.drag_scale for one in pitches]),
        lift_scale=np.concatenate([one.lift_scale for one in pitches]),
        spread_scale=np.concatenate(scales, axis=1) if scales else None,
    )


def straight_launch(levers: Array, target: Array, distance: Array) -> Array:
    """Launch angles (2, m) of the straight, drag-free flight that drops by gravity into the target: the first guess."""
    time = distance / levers[SPEED]
    rise = target[1] - levers[HEIGHT] + 0.5 * STANDARD_GRAVITY * time**2
    return np.stack([np.arctan2(rise, distance).clip(-0.5, 0.5), np.arctan2(target[0] - levers[SIDE], distance)])


def aimed(pitches: MeanPitches, flight: Flight) -> tuple[MeanPitches, NDArray[np.bool_]]:
    """Solve the launch angles so that every mean pitch hits its target to 1e-4 in.

    Newton's method from the straight flight; of two solutions the flatter is found.

    Parameters
    ----------
    pitches : MeanPitches
        With or without a target.
    flight : Flight
        Constants and laws.

    Returns
    -------
    pitches : MeanPitches
        With the solved launch angles.
    reached : bool array, shape (m,)
        Whether each hits its target; True where no target is given.
    """
    if pitches.target is None:
        return pitches, np.ones(pitches.levers.shape[1], dtype=bool)
    levers = pitches.levers.copy()
    distance = pitches.rubber - levers[EXTENSION] - flight.plate
    levers[ELEVATION:] = straight_launch(levers, pitches.target, distance)
    scales = np.stack([pitches.seam, pitches.drag_scale, pitches.lift_scale])
    reached = solve_launches(
        levers, pitches.target, scales, pitches.seam_clock, pitches.rubber, flight.plate, EXACT_STEPS,
        flight.constants, flight.laws.table,
    )  # fmt: skip
    return replace(pitches, levers=levers), reached
