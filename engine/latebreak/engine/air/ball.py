"""The ball and the air it flies through: the constants of one question, in SI units."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from latebreak.engine.units import FOOT, INCH, OUNCE


@dataclass(frozen=True)
class Ball:
    """A baseball.

    Attributes
    ----------
    mass : float
        kg; default 5.125 oz, the middle of the rule's 5 to 5.25 oz.
    circumference : float
        m; default 9.125 in, the middle of the rule's 9 to 9.25 in.
    spin_decay_time : float
        s, time constant of the exponential decay of the spin rate. Default 30 s, chosen: one published example gives
        5 s (Nathan 2008, note on spin-down), scaling from golf and from measured torque gives 25 to 42 s.

    References
    ----------
    Official Baseball Rules 3.01 (mass and circumference), as quoted by others.
    """

    mass: float = 5.125 * OUNCE
    circumference: float = 9.125 * INCH
    spin_decay_time: float = 30.0

    @property
    def radius(self) -> float:
        """Radius in m."""
        return self.circumference / (2.0 * pi)

    @property
    def cross_section(self) -> float:
        """Cross-section area A in m2."""
        return pi * self.radius**2


@dataclass(frozen=True)
class Conditions:
    """Everything that the pitches of one question share.

    Attributes
    ----------
    air_density : float
        kg/m3.
    wind_to_right, wind_to_plate : float
        m/s, towards the catcher's right and towards the plate (tail wind of the pitch).
    rubber_to_plate : float
        m, from the front of the rubber to the back point of the plate; 60.5 ft on a full-size field
        (Official Baseball Rules, as quoted by others).
    ball : Ball
        The ball.
    lift_law, drag_law : str
        Names of registered force laws (see `latebreak.engine.laws.registry`).
    """

    air_density: float
    wind_to_right: float = 0.0
    wind_to_plate: float = 0.0
    rubber_to_plate: float = 60.5 * FOOT
    ball: Ball = Ball()
    lift_law: str = "saturating_lift"
    drag_law: str = "constant_drag"

    @property
    def force_constant(self) -> float:
        """K = rho A / (2 m) in 1/m: the acceleration of a coefficient C at speed v is K C v^2."""
        return self.air_density * self.ball.cross_section / (2.0 * self.ball.mass)
