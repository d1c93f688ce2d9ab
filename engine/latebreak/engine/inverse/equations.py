"""Estimating equations of a pitch: as many as there are unknowns in theta, each a sum over throws that must vanish.

Every unknown that was measured is its own mean: sum (x_i - theta) = 0. Movement gives two equations and arrival speed a
third, sum (measured_i - flown_i(theta)) = 0; they tell, in this order of what is known besides:

- along the break clock: the turn (efficiency) where it wasn't measured, else the spin rate where that wasn't, else the
  lift scale;
- across it: the seam-made force where the clock was measured, else the clock itself;
- arrival speed: the drag scale.

All are solved together, within bounds, as the least squares of their scaled sums: 0 where the measurements agree. Where
they contradict each other no theta takes all sums to 0, and the nearest is given and said. Standard errors come from
the jackknife over at most 40 groups of throws, one Newton step from the solution for each group left out, in which the
measured means are left out too.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.inverse.residuals import ACROSS, CLOCK, DRAG, LIFT, SPIN, TURN, FlownThrows
from latebreak.engine.inverse.sample import wrapped

Array = NDArray[np.float64]

#: Rows of `FlownThrows.residuals`.
SIDEWAYS, UPWARD, SPEEDS = range(3)

_GROUPS = 40  # chosen: Student's t with 39 degrees of freedom is within 3 % of the normal one
# In the order of theta: nudge of the derivative, scale of the unknown, and bounds (the cosine of the gyro angle may
# stand above 1 while it is solved for).
_NUDGE = np.array([1e-2, 1e-4, 1e-4, 1e-4, 1e-5, 1e-4])
_SCALE = np.array([100.0, 0.7, 0.25, 0.5, 0.1, 0.3])
_LOW = np.array([0.0, -np.inf, -1.6, 0.02, -1.0, 0.02])
_HIGH = np.array([1000.0, np.inf, 5.0, 20.0, 1.0, 20.0])
_CLOSE = 1e-9  # of the scale: what counts as solved
_HOLDS = 1e-6  # of what a scale makes of an equation
_SINGULAR = 1e12


@dataclass(frozen=True, eq=False)
class Equations:
    """A square system.

    Attributes
    ----------
    throws : FlownThrows
        The throws.
    means : dict of int to float64 array
        Measured values (n,) by row of theta; NaN = not measured. One equation each.
    flown : dict of int to int
        Row of `FlownThrows.residuals` by row of theta that it is solved for. One equation each.
    """

    throws: FlownThrows
    means: dict[int, Array]
    flown: dict[int, int]

    @property
    def unknowns(self) -> list[int]:
        """Rows of theta that are solved for, in the order of the equations."""
        return [*self.means, *self.flown]

    @property
    def turn_by_movement(self) -> bool:
        """Whether movement told the turn: one that came out above 1 is held there, and the lift scale solved for."""
        return TURN in self.flown or (LIFT in self.flown and TURN not in self.means)

    def terms(self, theta: Array) -> Array:
        """Terms of the sums, shape (equations, n); NaN where a throw has none."""
        rows = [wrapped(x - theta[k]) if k == CLOCK else x - theta[k] for k, x in self.means.items()]
        if self.flown:
            residuals = self.throws.residuals(theta)
            rows += [residuals[row] for row in self.flown.values()]
        return np.array(rows).reshape(len(rows), self.throws.levers.shape[1])

    def slopes(self, theta: Array, terms: Array) -> Array:
        """Derivatives of the terms by the unknowns, shape (equations, unknowns, n)."""
        result = np.empty((terms.shape[0], *terms.shape))
        for j, k in enumerate(self.unknowns):
            nudged = theta.copy()
            nudged[k] += _NUDGE[k]
            result[:, j] = (self.terms(nudged) - terms) / _NUDGE[k]
        return result

    def solved(self, theta: Array) -> tuple[Array, bool]:
        """Solve from a first guess.

        Parameters
        ----------
        theta : float64 array, shape (6,)
            First guess; rows that aren't unknown stay.

        Returns
        -------
        theta : float64 array, shape (6,)
            The solution, or the nearest to one.
        holds : bool
            Whether every sum vanishes there.

        References
        ----------
        Branch, Coleman and Li (1999), SIAM J. Sci. Comput. 21, 1: bounded least squares in a trust region, as
        `scipy.optimize.least_squares` does it.
        """
        from scipy.optimize import least_squares  # noqa: PLC0415 - a fifth of a second that only a fit needs

        unknowns = self.unknowns
        if not unknowns:
            return theta, True
        scale, low, high = _SCALE[unknowns], _LOW[unknowns], _HIGH[unknowns]

        def at(values: Array) -> Array:
            moved = theta.copy()
            moved[unknowns] = values
            return moved

        start = theta[unknowns].clip(low + _CLOSE * scale, high - _CLOSE * scale)
        slopes = np.nansum(self.slopes(at(start), self.terms(at(start))), axis=2)
        size = np.abs(slopes * scale).max(axis=1)  # of an equation, where an unknown moves by its scale
        size[size == 0.0] = 1.0

        def sums(values: Array) -> Array:
            return np.asarray(np.nansum(self.terms(at(values)), axis=1) / size)

        def jacobian(values: Array) -> Array:
            theta = at(values)
            return np.asarray(np.nansum(self.slopes(theta, self.terms(theta)), axis=2) / size[:, None])

        found = least_squares(sums, start, jacobian, (low, high), x_scale=scale, xtol=1e-12, ftol=1e-15, gtol=1e-15)
        return at(found.x), bool(np.abs(found.fun).max() < _HOLDS)

    def counts(self, theta: Array) -> Array:
        """How many throws carry each row of theta, shape (6,): the fewest behind the equations that it hangs on."""
        return self._fewest((~np.isnan(self.terms(theta))).sum(axis=1))

    def jackknife(self, theta: Array) -> Array:
        """Standard errors of the solution, shape (6,); 0 where not unknown, NaN where fewer than two groups tell it."""
        result, unknowns = np.zeros(6), self.unknowns
        if not unknowns:
            return result
        terms = self.terms(theta)
        slopes = self.slopes(theta, terms)
        n = terms.shape[1]
        group = np.arange(n) % min(n, _GROUPS)
        numbers = range(int(group.max()) + 1)
        steps = []
        for g in numbers:
            stay = group != g
            step = _newton(np.nansum(slopes[..., stay], axis=2), np.nansum(terms[:, stay], axis=1))
            if step is not None:  # else something is known from this group alone: it shows in `telling` below
                steps.append(step)
        telling = self._fewest(np.array([np.unique(group[~np.isnan(row)]).size for row in terms]))[unknowns]
        if not steps:
            result[unknowns] = np.nan
            return result
        share = (len(steps) - 1) / len(steps)
        spread = np.array(steps) - np.mean(steps, axis=0)
        result[unknowns] = np.where(telling > 1, np.sqrt(share * (spread**2).sum(axis=0)), np.nan)
        return result

    def _fewest(self, own: NDArray[np.int64]) -> Array:
        """Of counts by equation, the fewest behind each row of theta, shape (6,)."""
        by_row = dict(zip(self.unknowns, own, strict=True))
        result = np.zeros(6)
        for k in self.unknowns:
            behind = (SPIN, TURN) if k == LIFT else (CLOCK,) if k == ACROSS else ()
            result[k] = min([by_row[k], *(by_row[j] for j in behind if j in self.means)])
        return result


def equations(throws: FlownThrows, means: dict[int, Array], theta: Array, *, spin_known: bool) -> Equations:
    """Choose what each measurement is solved for; see the module.

    Parameters
    ----------
    throws : FlownThrows
        The throws.
    means : dict of int to float64 array
        Measured values (n,) of spin rate, break clock and turn, by row of theta, where any were measured.
    theta : float64 array, shape (6,)
        First guess.
    spin_known : bool
        Whether the spin rate is measured, or assumed.
    """
    residuals = throws.residuals(theta)
    told = [row for row in (SIDEWAYS, UPWARD) if not np.isnan(residuals[row]).all()]
    along = SPIN if not spin_known or (TURN in means and SPIN not in means) else TURN if TURN not in means else LIFT
    main, other = (UPWARD, SIDEWAYS) if _share(theta[CLOCK], UPWARD) > _LARGE_SHARE else (SIDEWAYS, UPWARD)
    flown: dict[int, int] = {}
    if told and (along != LIFT or _enough_movement(throws, theta)):
        if len(told) == 2:
            flown = {along: main, (ACROSS if CLOCK in means else CLOCK): other}
        elif _share(theta[CLOCK], told[0]) > _LARGE_SHARE:
            flown = {along: told[0]}
    elif len(told) == 2 and CLOCK in means:
        flown = {ACROSS: other}
    if not np.isnan(residuals[SPEEDS]).all():
        flown[DRAG] = SPEEDS
    return Equations(throws, means, flown)


#: Chosen: movement in one direction only tells its size where the push goes there rather than across.
_LARGE_SHARE = 0.7
#: m, chosen: less movement than a device's error, about 1 in, tells no lift scale.
_LEAST_MOVEMENT = 0.0254


def _share(clock: float, row: int) -> float:
    return float(abs(np.sin(clock) if row == SIDEWAYS else np.cos(clock)))


def _enough_movement(throws: FlownThrows, theta: Array) -> bool:
    induced = throws.flown(theta)[2]
    flying = ~np.isnan(induced).any(axis=0)
    return bool(flying.any() and np.hypot(*induced[:, flying].mean(axis=1)) > _LEAST_MOVEMENT)


def _newton(slope: Array, value: Array) -> Array | None:
    """Step that takes value + slope step to 0, or None where the system is singular."""
    scale = np.abs(slope).max(axis=1, keepdims=True)
    if not np.isfinite(slope).all() or not np.isfinite(value).all() or (scale == 0.0).any():
        return None
    with np.errstate(all="ignore"):
        if np.linalg.cond(slope / scale / np.abs(slope / scale).max(axis=0).clip(1e-300)) > _SINGULAR:
            return None
    return np.asarray(-np.linalg.solve(slope, value))
