"""Quantities of a flight: what `fly` answers, and what a tracking device measures of it."""

from __future__ import annotations

from latebreak.service.quantities.quantity import ABOVE_GROUND, HEIGHT, SIDE, Quantity

ARRIVAL = (
    Quantity("flight_time_s", "flight time", 3, matters=0.005),
    Quantity("arrival_speed_mph", "arrival speed", matters=0.5),
    Quantity("arrival_side_ft", "arrival side", 2, SIDE, matters=0.1),
    Quantity("arrival_height_ft", "arrival height", 2, ABOVE_GROUND, matters=0.1),
    Quantity("induced_vertical_break_in", "induced vertical break", 1, HEIGHT, matters=1.0),
    Quantity("induced_side_break_in", "induced side break", 1, SIDE, matters=1.0),
    Quantity("vertical_approach_deg", "vertical approach angle", 1, HEIGHT, matters=0.3),
    Quantity("side_approach_deg", "side approach angle", 1, SIDE, matters=0.3),
)

#: The nine numbers of a track of constant acceleration: side, distance from the plate, height.
TRACK = tuple(
    Quantity(key.format(axis), f"{what} of the track, {axis}", 2, SIDE if axis == "x" else ("", "negative"))
    for key, what in (("{}0_ft", "place"), ("v{}0_ft_s", "velocity"), ("a{}_ft_s2", "acceleration"))
    for axis in "xyz"
)
