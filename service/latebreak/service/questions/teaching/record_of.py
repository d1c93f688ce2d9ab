"""From the rows of a file to a record of swings: a track for each pitch, and what hitters know of each pitcher."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.errors import Fault, InputError
from latebreak.engine.flight.flying import PLATE_FRONT
from latebreak.engine.flight.kernel import VX, VY, VZ
from latebreak.engine.inverse.constant_acceleration import ConstantAccelerationTrack
from latebreak.perception.decision import Zone
from latebreak.perception.swings.facing import Facing, facing
from latebreak.perception.swings.record import Record
from latebreak.perception.swings.tracks import paths_of, track_to, usual_track
from latebreak.service.quantities.units import MILES_PER_HOUR
from latebreak.service.questions.fitting.base import Assumed, Base, assume
from latebreak.service.questions.fitting.roles import find_roles
from latebreak.service.questions.fitting.trade import ARRIVAL_KEYS, INDUCED_KEYS, LEVER_KEYS, TRACK_KEYS
from latebreak.service.questions.teaching.rows import SwingRows
from latebreak.service.scenario.section import Role
from latebreak.service.throws import Throws
from latebreak.service.wording import shown

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

_RELEASE = ("release_side_ft", "extension_ft", "release_height_ft")


@dataclass(frozen=True, eq=False)
class Tracks:
    """A track of each row, NaN where it can't be told; `release`, shape (n,), is the distance of its release, m."""

    track: ConstantAccelerationTrack
    release: Array

    def usable(self) -> Flags:
        """Tell which tracks reach the plate."""
        at = self.track.at_plane(PLATE_FRONT)
        return np.asarray(np.isfinite(at.position).all(axis=1) & np.isfinite(self.track.acceleration).all(axis=1))

    def some(self, rows: Flags) -> Tracks:
        """Return the tracks of some rows."""
        t = self.track
        return Tracks(
            ConstantAccelerationTrack(t.position[rows], t.velocity[rows], t.acceleration[rows]), self.release[rows]
        )


def record_of(rows: SwingRows, base: Base, zone: Zone, fastball: str | None) -> tuple[Record, Flags, list[str]]:
    """Make a record.

    Parameters
    ----------
    rows : SwingRows
        Of the file; n of them.
    base : Base
        Says what the file does not: release, drag, roles of the pitches.
    zone : Zone
        The hitters'.
    fastball : str, optional
        Which pitch is the fastball.

    Returns
    -------
    record : Record
        Of the rows that can be flown; every day counts as fitted.
    flown : bool array, shape (n,)
        Which these are.
    warnings : list of str
        What was guessed.

    Raises
    ------
    InputError
        What is measured does not make a path.
    """
    throws = rows.throws
    speeds = {name: float(np.nanmedian(_speed(throws)[_is(throws.pitch, name)])) for name in throws.pitches}
    roles = find_roles(base, speeds, fastball, throws.source)
    assumed = {name: assume(base, name, roles.of[name]) for name in throws.pitches}
    tracks = _tracks(rows, base, assumed)
    flown = tracks.usable()
    if not flown.any():
        raise InputError([_no_path(throws)], throws.source)
    tracks, keep = tracks.some(flown), np.flatnonzero(flown)
    names = throws.pitches
    pitch = [throws.pitch[i] for i in keep.tolist()]
    kind = np.array([names.index(name) for name in pitch], dtype=np.int64)
    paths = paths_of(tracks.track, tracks.release)
    velocity = paths.releases[[VX, VY, VZ]]
    lines = velocity[[0, 2]] / np.sqrt((velocity**2).sum(axis=0))
    pitcher = np.array([f"{rows.hand[i]} {rows.pitcher[i]}" for i in keep.tolist()])
    bats = np.array([rows.bats[i] for i in keep.tolist()])
    balls, strikes = rows.balls[flown], rows.strikes[flown]
    facings: list[Facing] = []
    number = np.empty(keep.size, dtype=np.int64)
    for who in np.unique(pitcher):
        his = pitcher == who
        own = _ready_for_first([names[k] for k in kind[his]], roles.of, speeds)
        means = [paths_of(*usual_track(*_of(tracks, his & (kind == names.index(name))))) for name in own]
        local = np.array([own.index(names[k]) for k in kind[his]], dtype=np.int64)
        for side in np.unique(bats[his]):
            number[his & (bats == side)] = len(facings)
            counts = balls[his], strikes[his]
            hand = str(who).split(" ", 1)[0]
            facings.append(facing(str(side), hand, own, means, local, lines[:, his], counts, bats[his] == side))
    record = Record(
        paths, names, kind, tuple(facings), number, balls, strikes, rows.swung[flown], rows.missed[flown],
        np.ones(keep.size, dtype=bool), rows.day[flown], zone,
    )  # fmt: skip
    return record, flown, list(roles.warnings)


def _of(tracks: Tracks, rows: Flags) -> tuple[ConstantAccelerationTrack, Array]:
    some = tracks.some(rows)
    return some.track, some.release


def _ready_for_first(thrown: list[str], roles: Mapping[str, Role], speeds: Mapping[str, float]) -> list[str]:
    """Names of a pitcher's types, the fastball that hitters are ready for first: his most thrown, else his fastest."""
    counted = Counter(thrown)
    return sorted(counted, key=lambda name: (roles[name] != "fastball", -counted[name], -speeds[name]))


def _is(pitch: tuple[str, ...], name: str) -> Flags:
    return np.array([one == name for one in pitch])


def _column(throws: Throws, key: str, unit: float) -> Array:
    values = throws.values.get(key)
    return np.full(len(throws), np.nan) if values is None else np.asarray(values * unit)


def _speed(throws: Throws) -> Array:
    """Speed at release in mph, or where the nine numbers begin."""
    speed = _column(throws, "speed_mph", 1.0)
    at_plane = np.abs(_column(throws, "vy0_ft_s", TRACK_KEYS["vy0_ft_s"])) / MILES_PER_HOUR.si
    return np.where(np.isfinite(speed), speed, at_plane)


def _median(values: Array, otherwise: float) -> Array:
    """Fill gaps by the median of what there is, or by another value where there is nothing."""
    known = values[np.isfinite(values)]
    return np.where(np.isfinite(values), values, np.median(known) if known.size else otherwise)


def _tracks(rows: SwingRows, base: Base, assumed: dict[str, Assumed]) -> Tracks:
    """Nine numbers where they were measured; else a track laid from release speed, movement and arrival."""
    throws = rows.throws
    rubber = base.setting.conditions.rubber_to_plate
    n = len(throws)
    nine = np.stack([_column(throws, key, unit) for key, unit in TRACK_KEYS.items()]).reshape(3, 3, n)
    position, velocity, acceleration = (part.T.copy() for part in nine)
    release = np.stack([_column(throws, key, LEVER_KEYS[key]) for key in _RELEASE])
    speed = _column(throws, "speed_mph", MILES_PER_HOUR.si)
    arrival_speed = _column(throws, "arrival_speed_mph", MILES_PER_HOUR.si)
    place = np.stack([_column(throws, key, unit) for key, unit in ARRIVAL_KEYS.items()])
    induced = np.stack([_column(throws, key, unit) for key, unit in INDUCED_KEYS.items()])
    measured = np.isfinite(nine).all(axis=(0, 1))
    who = np.array(rows.pitcher)
    for name in throws.pitches:
        prior = assumed[name].prior
        usual = [float(prior.levers[list(LEVER_KEYS).index(key)]) for key in _RELEASE]
        drag = base.setting.conditions.force_constant * prior.drag_coefficient
        for pitcher in np.unique(who):
            mine = _is(throws.pitch, name) & (who == pitcher)
            if not mine.any():
                continue
            for row, otherwise in enumerate(usual):
                release[row, mine] = _median(release[row, mine], otherwise)
            release[1, mine] = rubber - release[1, mine]  # the distance coordinate
            laid = mine & ~measured
            if not laid.any():
                continue
            length = release[1, laid] - PLATE_FRONT
            lost = _median(1.0 - (arrival_speed / speed)[laid], float(1.0 - np.exp(-drag * np.median(length))))
            slowing = speed[laid] ** 2 * (1.0 - (1.0 - lost) ** 2) / (2.0 * length)
            movement = _movement(induced[:, laid], speed[laid], lost, length)
            track = track_to(place[:, laid], release[:, laid], speed[laid], slowing, movement)
            position[laid], velocity[laid], acceleration[laid] = track.position, track.velocity, track.acceleration
    return Tracks(ConstantAccelerationTrack(position, velocity, acceleration), release[1])


def _movement(induced: Array, speed: Array, lost: Array, length: Array) -> Array:
    """Acceleration by spin and seams of throws of one type: the median, since single movements are measured badly.

    induced = a (1 - k T/2) T^2/2,      k: what drag takes off the motion across, a share a second.
    """
    middle = speed * (1.0 - 0.5 * lost)
    flight = length / middle
    dragged = speed * lost / flight / middle
    each = 2.0 * induced / (flight**2 * (1.0 - 0.5 * dragged * flight))
    known = np.isfinite(each).all(axis=0)
    usual = np.median(each[:, known], axis=1) if known.any() else np.full(2, np.nan)
    return np.repeat(usual[:, None], speed.size, axis=1)


def _no_path(throws: Throws) -> Fault:
    held = ", ".join(throws.values)
    allowed = f"{', '.join(TRACK_KEYS)}; or speed_mph, {', '.join((*ARRIVAL_KEYS, *INDUCED_KEYS))}"
    problem = f"no row tells the path of its pitch (measured: {held})"
    return Fault("", problem, allowed, f"add the columns, or map them; is every number of {shown(throws.source)} read?")
