"""Teaching: a record of swings moves the hitter from what was known of him.

What was known is the package's fit and how hitters differ from each other, x = x_0 + F z with z standard normal:

    F F' = covariance of the fit + (BETWEEN sd)^2 on its diagonal,      sd: of the priors before the fit.

The fit alone would be too sure: it knows the rates of its own hitters to a point, and others miss and chase more or
less by several. Teaching minimises

    Q(z) = - ln L(swings) - ln L(misses of those swings) + |z|^2/2.

So a parameter that the record says nothing about stays where it was, as unsure as it was. One hitter is shrunk toward
the others of his record: they are taught first, and x_0 and its covariance are theirs, with what one hitter differs by
on top.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.perception.model import HitterModel
from latebreak.perception.parameters import Joint, Parameters, keys, moved, parameter_table, unit_of
from latebreak.perception.swings.newton import differences, minimum, sds
from latebreak.perception.swings.record import Record
from latebreak.perception.swings.scores import losses_of

Array = NDArray[np.float64]

#: SDs of hitters, and of teams, about the package's hitter, in SDs of the priors before its fit. Chosen: motor noise
#: then differs by 8 %, latency by 8 %, criteria by 0.1; with 0.3, 0.5 and 1 the days of the open record that nothing
#: was fitted to are predicted by 4.6, 4.2 and 3.4 nats better than by the package's hitter (+-3, 4 and 5).
BETWEEN = 0.5
#: Swings from which anything is learnt (chosen: misses of a hundred swings are known to 4 points).
FEWEST_SWINGS = 100
#: Days from which they, not single pitches, are drawn anew (chosen: the scatter of fewer says little).
FEWEST_DAYS = 8


@dataclass(frozen=True, eq=False)
class Known:
    """What is known of a hitter: x = x_0 + F z.

    Attributes
    ----------
    middle : Parameters
        One column; at x_0.
    names : tuple of str
        Of the P parameters that a record can teach.
    factor : float64 array, shape (P, P)
        F, lower triangular.
    """

    middle: Parameters
    names: tuple[str, ...]
    factor: Array

    @property
    def sd(self) -> Array:
        """SDs of x, (P,)."""
        return sds(self.factor)

    def shifted(self, shift: Array) -> Parameters:
        """Return the parameters whose x is moved by `shift`, (P,)."""
        table, key = parameter_table()["parameter"], keys()
        values = {
            name: moved(table[key[name]]["shape"], getattr(self.middle, name), np.array([one]), unit_of(key[name]))
            for name, one in zip(self.names, shift, strict=True)
        }
        return replace(self.middle, **values)

    def one_of_them(self) -> Known:
        """Return what is known of one hitter, where this is known of those he is one of."""
        return replace(self, factor=_square(np.concatenate([self.factor, _between(self.names)], axis=1)))


def known_of(middle: Parameters, given: frozenset[str], sure: Joint) -> Known:
    """Return what is known of a hitter who is not one of those that are known so well.

    Parameters
    ----------
    middle : Parameters
        One column.
    given : frozenset of str
        Names of parameters that are given: these are not taught.
    sure : Joint
        How sure the parameters are.
    """
    kept = [number for number, name in enumerate(sure.names) if name not in given]
    return Known(middle, tuple(sure.names[number] for number in kept), sure.factor[kept]).one_of_them()


def _between(names: tuple[str, ...]) -> Array:
    """Factor of how hitters differ from each other, (P, P): a diagonal."""
    table, key = parameter_table()["parameter"], keys()
    return np.diag([BETWEEN * table[key[name]]["sd"] for name in names])


@dataclass(frozen=True, eq=False)
class Lesson:
    """A record of which the fitted days teach, and what was known before."""

    record: Record
    known: Known
    model: HitterModel

    def at(self, z: Array) -> Parameters:
        """Parameters at coordinates, one column."""
        return self.known.shifted(self.known.factor @ z)

    def losses(self, z: Array) -> Array:
        """Minus log likelihood of each fitted pitch, as `losses_of`."""
        fitted = self.record.fitted
        return losses_of(self.record, self.record.answers(self.model, self.at(z), fitted), fitted)

    def q(self, u: Array) -> float:
        """Q of the module's text."""
        return float(self.losses(u).sum() + 0.5 * (u**2).sum())

    def slopes(self, u: Array) -> tuple[Array, Array, Array]:
        """Slope of Q, its curvature, and the slopes of days (of pitches, where days are few) and priors."""
        each = differences(self.losses, u)  # (Z, 2, n)
        by_pitch = each.sum(axis=1).T
        day = self.record.day[self.record.fitted]
        days = np.unique(day)
        one = np.eye(u.size)
        if days.size >= FEWEST_DAYS:
            units = np.stack([by_pitch[day == number].sum(axis=0) for number in days])
        else:
            units = by_pitch
        units = (units - units.mean(axis=0)) * sqrt(len(units) / max(len(units) - 1, 1))
        single = each.reshape(u.size, -1)
        return by_pitch.sum(axis=0) + u, single @ single.T + one, np.concatenate([units, one])


@dataclass(frozen=True, eq=False)
class Taught:
    """A hitter who was taught.

    Attributes
    ----------
    known : Known
        What is known of him now.
    before : Known
        What was known.
    shift : float64 array, shape (P,)
        How far x moved.
    """

    known: Known
    before: Known
    shift: Array


def enough(record: Record) -> bool:
    """Tell whether the fitted days hold enough swings to learn from."""
    return int((record.swung & record.fitted).sum()) >= FEWEST_SWINGS


def teach(record: Record, known: Known, model: HitterModel) -> Taught:
    """Teach a hitter by the fitted days of a record; where they hold too few swings, what was known stands."""
    if not enough(record):
        return Taught(known, known, np.zeros(len(known.names)))
    lesson = Lesson(record, known, model)
    found = minimum(lesson, np.zeros(known.factor.shape[1]))
    shift = known.factor @ found.u
    return Taught(Known(lesson.at(found.u), known.names, _square(known.factor @ found.factor)), known, shift)


def _square(factor: Array) -> Array:
    """Return the factor of the same covariance, lower triangular with as many columns as rows."""
    upper = np.asarray(np.linalg.qr(factor.T, mode="r"))
    return np.ascontiguousarray(upper.T)
