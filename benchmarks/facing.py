"""Throws that a hitter faces a second, beside his equations in plain numpy, throw by throw and look by look."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from time import process_time

import equations
import numpy as np
from batting import ANYBODY, CURVE, MIX, PROFESSIONAL, in_mind, noise_of

from benchmarks.flights import THROWS
from benchmarks.measuring import Effort, Row, one_core, take_turns
from latebreak.perception.model import Judgement, one_glance
from latebreak.perception.moments import Moments, moments

#: Largest differences that are allowed: chances end with the series of the exponential and of the normal distribution,
#: and a moment is where such a chance crosses a threshold.
CHANCE, MOMENT = 1e-6, 1e-6 / 1e-3

#: What he has in mind: three types, the thrown one among them.
IN_MIND = {name: MIX[name] for name in ("fastball", "curve", "changeup")}
OWN = list(IN_MIND).index("curve")
#: His eye and belief by plain numpy.
PLAIN = replace(
    one_glance,
    see=equations.glances,
    believe=lambda glance, types, parameters, noise: equations.beliefs(glance, types, parameters, noise)[0],
)


def measure(effort: Effort) -> Iterator[Row]:
    """Rows without the moments (tunnel exit, recognition, break onset), and with them."""
    paths, types, noise = CURVE.paths(THROWS), in_mind(IN_MIND, PROFESSIONAL), noise_of(THROWS)
    rest = PROFESSIONAL, ANYBODY, noise
    ours, plain = partial(one_glance.judge, paths, types, *rest), partial(equations.judge, paths, types, *rest)
    ours_looks, plain_looks = (partial(moments, model, paths, types, OWN, *rest) for model in (one_glance, PLAIN))
    with one_core():
        timed = take_turns({"ours": ours, "plain": plain}, effort, process_time)
        looked = take_turns(
            {"ours": lambda: (ours(), ours_looks()), "plain": lambda: (plain(), plain_looks())},
            effort,
            process_time,
        )
    for key, name, found in (("glance", "one glance", timed), ("looks", "with the moments, look by look", looked)):
        error, bound, unit = (
            (_apart(ours(), plain()), CHANCE, "of a chance") if key == "glance"
            else (_moved(ours_looks(), plain_looks()), MOMENT, "ms")
        )  # fmt: skip
        for who in ("ours", "plain"):
            value, scatter = found.rate(who, THROWS)
            is_anchor = who == "plain"
            yield Row(
                f"hitter.{key}.{who}", "hitter, three types in mind, one core",
                f"{'plain numpy' if is_anchor else 'latebreak'}, {name}", value, "throws/s", scatter,
                found.times("ours", "plain") if is_anchor else None,
                None if is_anchor else error, None if is_anchor else bound, "" if is_anchor else unit,
            )  # fmt: skip


def _apart(one: Judgement, other: Judgement) -> float:
    """Largest difference of any chance."""
    return max(float(np.abs(getattr(one, row) - getattr(other, row)).max()) for row in ("belief", "swing", "contact"))


def _moved(one: Moments, other: Moments) -> float:
    """Largest difference of any moment, ms."""
    return float(1e3 * np.abs(one.time - other.time).max())
