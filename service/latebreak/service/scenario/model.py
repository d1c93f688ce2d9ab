"""The scenario: air, field, ball, pitcher, pitches and hitter of one question, in the keys of its file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal, cast

from pydantic import create_model

from latebreak.perception.parameters import parameter_table
from latebreak.service.quantities import units
from latebreak.service.scenario.pitch_entry import DRAG_COEFFICIENT, LIFT_SCALE, NAME_LENGTH, PitchEntry
from latebreak.service.scenario.ranges import Range
from latebreak.service.scenario.section import Hand, Level, Section, Text

WIND = Range(units.MILES_PER_HOUR, possible=(-80.0, 80.0), usual=(-25.0, 25.0))
#: 46 ft at 8 to 12 years, 60.5 ft on a full-size field (field rules, as quoted by others); 38 ft for the youngest.
RUBBER_TO_PLATE = Range(units.FEET, possible=(30.0, 70.0), usual=(38.0, 61.0))

#: Longest path of a file, in characters (chosen: what file systems take).
PATH_LENGTH = 4096


class Air(Section):
    """The air: either its density alone, or temperature, humidity and one of altitude and station pressure."""

    temperature_c: Annotated[float | None, Range(units.CELSIUS, possible=(-40.0, 55.0), usual=(-5.0, 45.0))] = None
    humidity_percent: Annotated[float | None, Range(units.PERCENT, possible=(0.0, 100.0))] = None
    altitude_m: Annotated[float | None, Range(units.METRES, possible=(-500.0, 6000.0), usual=(-100.0, 2700.0))] = None
    pressure_hpa: Annotated[
        float | None, Range(units.HECTOPASCALS, possible=(450.0, 1100.0), usual=(720.0, 1050.0))
    ] = None
    density_kg_m3: Annotated[
        float | None, Range(units.KILOGRAMS_PER_CUBIC_METRE, possible=(0.3, 2.0), usual=(0.85, 1.35))
    ] = None
    wind_to_plate_mph: Annotated[float, WIND] = 0.0
    wind_to_right_mph: Annotated[float, WIND] = 0.0


class Field(Section):
    """The field: from the front of the rubber to the back point of the plate."""

    rubber_to_plate_ft: Annotated[float, RUBBER_TO_PLATE] = 60.5


class Ball(Section):
    """The ball and its force laws; `drag_coefficient` None = as the drag law has it."""

    mass_oz: Annotated[float, Range(units.OUNCES, possible=(3.0, 5.75), usual=(4.9, 5.35))] = 5.125
    circumference_in: Annotated[float, Range(units.INCHES, possible=(8.0, 10.0), usual=(8.9, 9.35))] = 9.125
    drag_coefficient: Annotated[float | None, DRAG_COEFFICIENT] = None
    drag_law: Annotated[str, Text(NAME_LENGTH)] = "constant_drag"
    lift_law: Annotated[str, Text(NAME_LENGTH)] = "saturating_lift"
    lift_scale: Annotated[float, LIFT_SCALE] = 1.0
    spin_decay_s: Annotated[float, Range(units.SECONDS, possible=(2.0, 1000.0), usual=(4.0, 100.0))] = 30.0


class Pitcher(Section):
    """Who throws."""

    hand: Hand
    level: Level
    age_years: Annotated[float | None, Range(units.YEARS, possible=(4.0, 100.0), usual=(7.0, 50.0))] = None


def _parameter(key: str, entry: Mapping[str, Any]) -> Any:
    low, high = entry["possible"]
    return Annotated[float | None, Range(units.unit_of(key), possible=(low, high))]


#: Every parameter of the hitter model by its own key; None = as the model has it for the level.
HitterParameters: Any = create_model(
    "HitterParameters",
    __base__=Section,
    **cast("Any", {key: (_parameter(key, entry), None) for key, entry in parameter_table()["parameter"].items()}),
)


#: Keys of the parameters that a record of swings can teach.
TAUGHT_KEYS: tuple[str, ...] = tuple(parameter_table()["joint"]["keys"])
#: What they may be, before each is held against the range of its key; and parts of the factor of their uncertainty
#: (chosen: far beyond any).
TAUGHT = Range(units.NUMBER, possible=(-1e9, 1e9))
TAUGHT_FACTOR = Range(units.NUMBER, possible=(-100.0, 100.0))


class Hitter(HitterParameters):
    """Who hits, where the eye is, and what the hitter expects; None = as the hitter model has it for the level.

    `taught` holds parameters that were learnt from swings, in the units of their keys, `taught_factor` how sure they
    are together: the lower triangle, row by row, of the factor of the covariance of their x, in the order of
    `TAUGHT_KEYS`. A parameter given by its own key is known, and comes first.
    """

    bats: Hand = "right"
    level: Level
    balls: Annotated[int | None, Range(units.NUMBER, possible=(0, 3), whole=True)] = None
    strikes: Annotated[int | None, Range(units.NUMBER, possible=(0, 2), whole=True)] = None
    familiarity: Annotated[float, Range(units.NUMBER, possible=(0.0, 1.0))] = 0.5
    commit_before_arrival_ms: Annotated[float, Range(units.MILLISECONDS, possible=(50.0, 350.0), usual=(120.0, 220.0))]
    model: Annotated[str | None, Text(NAME_LENGTH)] = None
    file: Annotated[str | None, Text(PATH_LENGTH)] = None
    taught: dict[str, Annotated[float, TAUGHT]] | None = None
    taught_factor: list[Annotated[float, TAUGHT_FACTOR]] | None = None
    eye_side_ft: Annotated[float, Range(units.FEET, possible=(0.0, 6.0), usual=(1.0, 4.0))]
    eye_height_ft: Annotated[float, Range(units.FEET, possible=(1.0, 8.0), usual=(2.5, 6.5))]
    eye_depth_ft: Annotated[float, Range(units.FEET, possible=(-5.0, 6.0), usual=(-2.0, 4.0))]
    zone_bottom_ft: Annotated[float, Range(units.FEET, possible=(0.2, 4.0), usual=(0.9, 2.2))]
    zone_top_ft: Annotated[float, Range(units.FEET, possible=(1.0, 6.0), usual=(2.0, 4.2))]
    expects: dict[str, Annotated[float, Range(units.NUMBER, possible=(0.0, 1.0))]]


class Scenario(Section):
    """One question's setting, complete: every default is filled in."""

    title: Annotated[str, Text(200)] = "untitled"
    sport: Literal["baseball"] = "baseball"
    seed: Annotated[int, Range(units.NUMBER, possible=(0, 2**63 - 1), whole=True)] = 1
    # 10,000 throws (chosen): a share near 50 % then has a sampling error of half a percentage point.
    throws: Annotated[int, Range(units.NUMBER, possible=(1, 100_000_000), whole=True)] = 10_000
    air: Air
    field: Field = Field()
    ball: Ball = Ball()
    pitcher: Pitcher
    pitch: dict[Annotated[str, Text(NAME_LENGTH)], PitchEntry]
    hitter: Hitter

    def called(self, pitch: str) -> str:
        """Return what people read for the key of a pitch: its name, else the key."""
        entry = self.pitch.get(pitch)
        return pitch if entry is None or entry.name is None else entry.name


def reference_fastball(scenario: Scenario) -> str | None:
    """Return the name of the fastball that the other pitches are judged against, or None where there is none."""
    fastballs = [name for name, entry in scenario.pitch.items() if entry.role == "fastball"]
    marked = [name for name in fastballs if scenario.pitch[name].reference]
    return next(iter(marked or fastballs), None)
