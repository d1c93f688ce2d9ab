"""One target for pitches of one role that arrive at one place, as far as anyone can tell.

The mean arrival of a dozen throws is known to some half a foot, and how a pitch is met depends on where it is thrown.
Two grips compared at the targets that chance gave them would be told apart by chance: in simulated bullpens of a dozen
throws that alone made the larger part of the error of their difference in misses.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import hypot, sqrt

from latebreak.service.judging.estimates import Estimate
from latebreak.service.questions.fitting.trade import TARGET_KEYS
from latebreak.service.questions.fitting.values import NORMAL_90, Known

#: Standard errors beyond which two arrivals are of two targets (99 %, chosen: several pitches and both directions are
#: looked at).
APART = 2.5758293035489004


def aimed_together(known: Mapping[str, Known]) -> dict[str, Known]:
    """Give pitches of one role their common mean arrival, unless one differs from the others beyond chance.

    Parameters
    ----------
    known : mapping of str to Known
        Pitches of one session, by name.

    Returns
    -------
    dict of str to Known
        In the same order.
    """
    result = dict(known)
    for role in {one.role for one in known.values()}:
        group = [one for one in known.values() if one.role == role and one.errors.get("target_side_ft")]
        together = [one for one in group if len(group) > 1 and not _is_apart(one, group)]
        if len(together) < 2:
            continue
        means = {key: _mean(key, together) for key in TARGET_KEYS}
        names = [one.name for one in together]
        for one in together:
            estimates = {
                key: Estimate(value, 0.0, value - NORMAL_90 * error, value + NORMAL_90 * error)
                for key, (value, error) in means.items()
            }
            result[one.name] = replace(
                one,
                values=one.values | estimates,
                errors=one.errors | {key: error for key, (_, error) in means.items()},
                aimed_with=tuple(name for name in names if name != one.name),
            )
    return result


def _is_apart(one: Known, group: list[Known]) -> bool:
    """Whether a pitch arrives elsewhere than the others."""
    others = [other for other in group if other is not one]
    for key in TARGET_KEYS:
        value, error = _mean(key, others)
        if abs(one.values[key].value - value) > APART * hypot(one.errors[key], error):
            return True
    return False


def _mean(key: str, group: list[Known]) -> tuple[float, float]:
    """Mean over pitches, weighted by how well each is known, and its standard error."""
    weights = [one.errors[key] ** -2 for one in group]
    total = sum(weights)
    value = sum(weight * one.values[key].value for weight, one in zip(weights, group, strict=True)) / total
    return value, 1.0 / sqrt(total)
