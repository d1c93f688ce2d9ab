"""Quantities of what is around a pitch: air, field, ball, pitcher and hitter of a scenario."""

from __future__ import annotations

from collections.abc import Iterator

from latebreak.perception.parameters import parameter_table
from latebreak.service.quantities.quantity import ABOVE_GROUND, Quantity, Sign

_WIND: Sign = ("", "the other way")

#: Of the hitter model's parameters, one has a name of its own below.
_NAMED = "commit_before_arrival_ms"


def _hitter() -> Iterator[Quantity]:
    """Parameters of the hitter model, as its own file says what they mean."""
    for key, entry in parameter_table()["parameter"].items():
        if key != _NAMED:
            yield Quantity(key, entry["meaning"], 0 if key.endswith(("_ms", "_percent")) else 2, ("", "the other way"))


SETTING = (
    Quantity("temperature_c", "temperature", 0, ("", "below 0")),
    Quantity("humidity_percent", "relative humidity", 0),
    Quantity("altitude_m", "altitude", 0, ("", "below sea level")),
    Quantity("pressure_hpa", "station pressure", 0),
    Quantity("density_kg_m3", "density of the air", 3),
    Quantity("wind_to_plate_mph", "tail wind of the pitch", 1, _WIND),
    Quantity("wind_to_right_mph", "wind toward the catcher's right", 1, _WIND),
    Quantity("rubber_to_plate_ft", "rubber to plate", 1),
    Quantity("mass_oz", "mass of the ball", 2),
    Quantity("circumference_in", "circumference of the ball", 2),
    Quantity("spin_decay_s", "time in which the spin rate falls to 1/e", 0),
    Quantity("age_years", "age", 0),
    Quantity("familiarity", "familiarity", 2),
    Quantity(_NAMED, "commit point before arrival", 0),
    Quantity("eye_side_ft", "eye from the plate's centre", 1),
    Quantity("eye_height_ft", "height of the eye", 1, ABOVE_GROUND),
    Quantity("eye_depth_ft", "eye behind the plate's front edge", 1, ("", "in front of it")),
    Quantity("zone_bottom_ft", "bottom of the strike zone", 2, ABOVE_GROUND),
    Quantity("zone_top_ft", "top of the strike zone", 2, ABOVE_GROUND),
    Quantity("balls", "balls before the pitch", 0),
    Quantity("strikes", "strikes before the pitch", 0),
    *_hitter(),
    Quantity("seed", "seed", 0),
    Quantity("throws", "simulated throws of each pitch", 0),
)
