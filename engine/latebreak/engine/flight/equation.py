"""The flight equation.

With v the velocity relative to the air, V = |v|, e = v/V, w the spin vector, w_perp its part across e, the force
constant K = rho A/(2 m), and the spin parameter S = R |w_perp| / V:

    dv/dt = -g z  -  K C_D(V, S) V^2 e  +  K C_L(S) V^2 (w_perp/|w_perp|) x e  +  K C_S V^2 s

s is the fixed direction of the seam-made force, made perpendicular to e. Spin along the flight makes no lift; since w
keeps its direction in space while the flight bends down, some gyro spin turns into lift late in the flight.

Frame: origin at the back point of the plate, x to the catcher's right, y from the plate to the mound, z up.
"""

from __future__ import annotations

from typing import NamedTuple

from latebreak.engine.elementary import inverse_root
from latebreak.engine.jit import inlined
from latebreak.engine.laws.table import LawTable, drag_coefficient, lift_coefficient


class FlightConstants(NamedTuple):
    """Scalars of the flight equation, SI units."""

    force_constant: float  # K, 1/m
    radius: float  # R, m
    gravity: float  # g, m/s2
    wind_x: float  # m/s, towards the catcher's right
    wind_y: float  # m/s, towards the mound (a tail wind of the pitch is negative)
    decay_rate: float  # 1/s, of the spin rate


# Squared speed (m2/s2) below which a guard acts: the quotients stay finite for a ball at rest in the air and for a spin
# that is zero or exactly along the flight; at the speed of any pitch it is below the rounding of a double.
_TINY = 1e-12


@inlined
def decay(time: float, rate: float) -> float:
    """Share of the spin rate left: exp(-rate t) by its series, to 2e-8 for rate t <= 0.25 and 4e-6 at 0.55."""
    q = -rate * time
    return 1.0 + q * (1.0 + q * (1 / 2 + q * (1 / 6 + q * (1 / 24 + q * (1 / 120 + q * (1 / 720))))))


@inlined
def acceleration(
    vx: float,
    vy: float,
    vz: float,
    time: float,
    spin_x: float,
    spin_y: float,
    spin_z: float,
    seam: float,
    seam_x: float,
    seam_y: float,
    seam_z: float,
    drag_scale: float,
    lift_scale: float,
    constants: FlightConstants,
    laws: LawTable,
    bare: bool = False,
) -> tuple[float, float, float]:
    """Acceleration (m/s2) of a ball that flies with (vx, vy, vz) m/s, `time` s after its release.

    `spin_*` is the spin vector at release (rad/s), `seam` the coefficient C_S, `seam_*` the unit vector of its push;
    a `bare` ball feels neither: gravity, drag and wind stay.
    """
    ux = vx - constants.wind_x
    uy = vy - constants.wind_y
    speed2 = ux * ux + uy * uy + vz * vz + _TINY
    per_speed = inverse_root(speed2)
    speed, per_speed2 = speed2 * per_speed, per_speed * per_speed
    k = constants.force_constant
    if bare:
        drag = drag_scale * k * drag_coefficient(speed, 0.0, laws) * speed
        return -drag * ux, -drag * uy, -drag * vz - constants.gravity

    # w x v = |w_perp| V in the direction of the lift; the spin decays, its axis stays
    cross_x = spin_y * vz - spin_z * uy
    cross_y = spin_z * ux - spin_x * vz
    cross_z = spin_x * uy - spin_y * ux
    cross2 = cross_x * cross_x + cross_y * cross_y + cross_z * cross_z + _TINY * speed2
    per_cross = inverse_root(cross2)
    # s made perpendicular to e, s - (s . e) e, has the length sqrt(1 - (s . e)^2); times V:
    along = seam_x * ux + seam_y * uy + seam_z * vz
    per_seam = inverse_root(max(speed2 - along * along, _TINY * speed2))

    s = constants.radius * decay(time, constants.decay_rate) * cross2 * per_cross * per_speed2  # S = R |w_perp| / V
    lift = lift_scale * k * lift_coefficient(s, laws) * speed2 * per_cross  # per unit of w x v
    drag = drag_scale * k * drag_coefficient(speed, s, laws) * speed  # per unit of v
    push = seam * k * speed2 * speed * per_seam
    back = drag + push * along * per_speed2
    ax = lift * cross_x + push * seam_x - back * ux
    ay = lift * cross_y + push * seam_y - back * uy
    az = lift * cross_z + push * seam_z - back * vz - constants.gravity
    return ax, ay, az
