"""One pitch of a scenario: its release, its aim, its spread and the standard errors of its means."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from latebreak.service.quantities import units
from latebreak.service.scenario.ranges import Range
from latebreak.service.scenario.section import Role, Section, Text

#: Longest key and name of a pitch, in characters (chosen: fits a column of a table).
NAME_LENGTH = 40

# Possible ranges are wide on purpose (chosen): a weak lob or a throw straight up is data, not a mistake. Usual ranges
# (chosen) hold what pitchers of all levels do; the widest published spread is 13 deg of a slider's axis.
DRAG_COEFFICIENT = Range(units.NUMBER, possible=(0.05, 1.0), usual=(0.25, 0.5))
LIFT_SCALE = Range(units.NUMBER, possible=(0.1, 3.0), usual=(0.6, 1.6))
SPEED_SD = Range(units.MILES_PER_HOUR, possible=(0.0, 20.0), usual=(0.0, 4.0))
SPIN_SD = Range(units.REVOLUTIONS_PER_MINUTE, possible=(0.0, 2000.0), usual=(0.0, 350.0))
ROTATION_SD = Range(units.DEGREES, possible=(0.0, 90.0), usual=(0.0, 25.0))
RELEASE_SD = Range(units.INCHES, possible=(0.0, 36.0), usual=(0.0, 6.0))
LAUNCH_SD = Range(units.DEGREES, possible=(0.0, 20.0), usual=(0.0, 4.0))


class Spread(Section):
    """Standard deviations from throw to throw: of the release, and of the ball.

    The clock is not read as a clock face here, because a standard deviation is no direction. A seam-made force varies
    in a random direction across the flight: this is the standard deviation along each of two.
    """

    speed_mph: Annotated[float, SPEED_SD]
    spin_rpm: Annotated[float, SPIN_SD]
    break_clock_deg: Annotated[float, ROTATION_SD]
    gyro_deg: Annotated[float, ROTATION_SD]
    release_side_in: Annotated[float, RELEASE_SD]
    release_height_in: Annotated[float, RELEASE_SD]
    extension_in: Annotated[float, RELEASE_SD]
    launch_elevation_deg: Annotated[float, LAUNCH_SD]
    launch_azimuth_deg: Annotated[float, LAUNCH_SD]
    drag_coefficient: Annotated[float, Range(units.NUMBER, possible=(0.0, 0.3), usual=(0.0, 0.06))]
    lift_scale: Annotated[float, Range(units.NUMBER, possible=(0.0, 1.0), usual=(0.0, 0.2))]
    seam_force: Annotated[float, Range(units.NUMBER, possible=(0.0, 0.2), usual=(0.0, 0.05))]


#: Keys of what varies from ball to ball, whoever throws.
BALL_KEYS = ("drag_coefficient", "lift_scale", "seam_force")
#: Keys of the nine spread quantities of a release, in the order of `pitch.LEVERS`.
SPREAD_KEYS = tuple(key for key in Spread.model_fields if key not in BALL_KEYS)


class SpreadError(Section):
    """Standard errors of the spread; None = taken as it is."""

    speed_mph: Annotated[float | None, SPEED_SD] = None
    spin_rpm: Annotated[float | None, SPIN_SD] = None
    break_clock_deg: Annotated[float | None, ROTATION_SD] = None
    gyro_deg: Annotated[float | None, ROTATION_SD] = None
    release_side_in: Annotated[float | None, RELEASE_SD] = None
    release_height_in: Annotated[float | None, RELEASE_SD] = None
    extension_in: Annotated[float | None, RELEASE_SD] = None
    launch_elevation_deg: Annotated[float | None, LAUNCH_SD] = None
    launch_azimuth_deg: Annotated[float | None, LAUNCH_SD] = None


class MeanError(SpreadError):
    """Standard errors of the means; None = not measured."""

    drag_coefficient: Annotated[float | None, Range(units.NUMBER, possible=(0.0, 1.0), usual=(0.0, 0.1))] = None
    lift_scale: Annotated[float | None, Range(units.NUMBER, possible=(0.0, 3.0), usual=(0.0, 0.5))] = None
    seam_force: Annotated[float | None, Range(units.NUMBER, possible=(0.0, 0.5), usual=(0.0, 0.1))] = None


class PitchEntry(Section):
    """Mean release of one pitch as measured, where it is aimed, and how it scatters; `name` is what people read.

    Exactly one of `efficiency_percent` and `gyro_deg` is set, and either both targets or both launch angles.
    """

    name: Annotated[str | None, Text(NAME_LENGTH)] = None
    role: Role = "breaking"
    reference: bool = False
    speed_mph: Annotated[float, Range(units.MILES_PER_HOUR, possible=(10.0, 130.0), usual=(40.0, 106.0))]
    spin_rpm: Annotated[float, Range(units.REVOLUTIONS_PER_MINUTE, possible=(0.0, 6000.0), usual=(50.0, 3600.0))]
    break_clock_deg: Annotated[float, Range(units.CLOCK_DEGREES, possible=(-180.0, 360.0))]
    efficiency_percent: Annotated[float | None, Range(units.PERCENT, possible=(0.0, 100.0))] = None
    gyro_deg: Annotated[float | None, Range(units.DEGREES, possible=(-90.0, 90.0))] = None
    gyro_sense: Literal["reverse"] | None = None
    release_side_ft: Annotated[float, Range(units.FEET, possible=(-10.0, 10.0), usual=(-5.0, 5.0))]
    release_height_ft: Annotated[float, Range(units.FEET, possible=(0.2, 10.0), usual=(1.0, 7.5))]
    extension_ft: Annotated[float, Range(units.FEET, possible=(-1.0, 12.0), usual=(2.0, 8.0))]
    target_side_ft: Annotated[float | None, Range(units.FEET, possible=(-10.0, 10.0), usual=(-3.0, 3.0))] = None
    target_height_ft: Annotated[float | None, Range(units.FEET, possible=(-2.0, 10.0), usual=(0.0, 5.0))] = None
    launch_elevation_deg: Annotated[float | None, Range(units.DEGREES, possible=(-90.0, 90.0), usual=(-8.0, 15.0))] = (
        None
    )
    launch_azimuth_deg: Annotated[float | None, Range(units.DEGREES, possible=(-90.0, 90.0), usual=(-10.0, 10.0))] = (
        None
    )
    # Tracked pitches show a seam-made force up to about 0.08 (computed, own analysis of public tracked pitches).
    seam_force: Annotated[float, Range(units.NUMBER, possible=(0.0, 0.5), usual=(0.0, 0.12))] = 0.0
    seam_force_clock_deg: Annotated[float | None, Range(units.CLOCK_DEGREES, possible=(-180.0, 360.0))] = None
    drag_coefficient: Annotated[float | None, DRAG_COEFFICIENT] = None
    lift_scale: Annotated[float | None, LIFT_SCALE] = None
    spread: Spread
    correlation: dict[str, Annotated[float, Range(units.NUMBER, possible=(-1.0, 1.0))]] = Field(default_factory=dict)
    mean_error: MeanError = MeanError()
    spread_error: SpreadError = SpreadError()
