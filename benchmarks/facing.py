"""Throws that a hitter faces a second, beside the same equations in plain numpy."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from time import process_time
from typing import Any

import equations
import numpy as np
from batting import ANYBODY, CURVE, MIX, PROFESSIONAL, in_mind, noise_of

from benchmarks.flights import THROWS
from benchmarks.measuring import Effort, Row, one_core, take_turns
from latebreak.perception.model import Judgement, one_glance
from latebreak.perception.moments import Moments, moments

#: Largest differences allowed, of a chance and in ms: our exponential and normal distribution are series, and a moment
#: is where such a chance crosses a threshold.
CHANCE, MOMENT = 1e-6, 1e-3

#: What he has in mind: three types, the thrown one among them.
IN_MIND = {name: MIX[name] for name in ("fastball", "curve", "changeup")}
OWN = list(IN_MIND).index("curve")
#: His eye and belief by plain numpy.
PLAIN = replace(
    one_glance,
    see=equations.glances,
    believe=lambda glance, types, parameters, noise: equations.beliefs(glance, types, parameters, noise)[0],
)


def one_glance_of(throws: int = THROWS) -> Callable[[], Judgement]:
    """What lets him face the curve at one glance."""
    mind = in_mind(IN_MIND, PROFESSIONAL)
    return partial(one_glance.judge, CURVE.paths(throws), mind, PROFESSIONAL, ANYBODY, noise_of(throws))


def measure(effort: Effort) -> Iterator[Row]:
    """Rows without the moments (tunnel exit, recognition, break onset), and with them."""
    paths, types, noise = CURVE.paths(THROWS), in_mind(IN_MIND, PROFESSIONAL), noise_of(THROWS)
    rest = PROFESSIONAL, ANYBODY, noise
    ours, plain = one_glance_of(), partial(equations.judge, paths, types, *rest)
    ours_looks, plain_looks = (partial(moments, model, paths, types, OWN, *rest) for model in (one_glance, PLAIN))
    apart, moved = _apart(ours(), plain()), _moved(ours_looks(), plain_looks())
    yield from _beside(effort, "glance", "one glance", ours, plain, error=apart, bound=CHANCE, error_unit="of a chance")
    yield from _beside(
        effort, "looks", "the same, and the moments look by look",
        lambda: (ours(), ours_looks()), lambda: (plain(), plain_looks()),
        error=moved, bound=MOMENT, error_unit="ms",
    )  # fmt: skip


def _beside(
    effort: Effort, key: str, what: str, ours: Callable[[], object], plain: Callable[[], object], **error: Any
) -> Iterator[Row]:
    group = "hitter, three types in mind, one core"
    with one_core():
        timed = take_turns({"ours": ours, "plain": plain}, effort, process_time)
    value, scatter = timed.rate("ours", THROWS)
    yield Row(f"hitter.{key}.ours", group, f"latebreak, {what}", value, "throws/s", scatter, **error)
    value, scatter = timed.rate("plain", THROWS)
    times = timed.times("ours", "plain")
    yield Row(f"hitter.{key}.plain", group, f"plain numpy, {what}", value, "throws/s", scatter, times)


def _apart(one: Judgement, other: Judgement) -> float:
    """Largest difference of any chance."""
    return max(float(np.abs(getattr(one, row) - getattr(other, row)).max()) for row in ("belief", "swing", "contact"))


def _moved(one: Moments, other: Moments) -> float:
    """Largest difference of any moment, ms."""
    return float(1e3 * np.abs(one.time - other.time).max())
