"""What the hitter believes and expects of a pitch, moment by moment, as he sees more of it.

At a cut-off c the belief is the softmax of the log odds (`recognition`), and what is expected is the forecast of the
most believed type (`forecast`), or the mean by belief:

    belief_h(c) = exp L_h(c) / sum exp L(c),    expected(c) = actual - [offset + slope z + T b + s e]_h(c)

A swing asks this at its three cut-offs; here it is asked all along the way, to be drawn.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.perception.model import HitterModel
from latebreak.perception.swing import MEMORY
from latebreak.perception.swing import Readiness as Ready
from latebreak.perception.view import LOOK

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Unfolding:
    """Belief and error of the forecast of n throws at C cut-offs; of the first column.

    Attributes
    ----------
    time : float64 array, shape (C,)
        Cut-offs, s after release: the release itself, then every 10 ms from just before the first look to the height
        cut-off, after which nothing that is seen can move the bat.
    belief : float64 array, shape (n, C, H)
        In each type, 0 to 1.
    error : float64 array, shape (n, C, 3)
        Actual minus expected: time (s), height and side at the plate (m).
    """

    time: Array
    belief: Array
    error: Array


def unfold(model: HitterModel, ready: Ready, normals: Array, generator: np.random.Generator) -> Unfolding:
    """Follow what a hitter makes of throws.

    Parameters
    ----------
    model : HitterModel
        How he recognises and foresees.
    ready : Readiness
        What he brings to the pitch; its first column counts.
    normals : float64 array, shape (9, n)
        The throws' draws.
    generator : numpy.random.Generator
        Source of the hitter's noise.
    """
    e = ready.encounter
    start, last = float(e.traits.view_start[0]), float(e.arrival[0, 0] - e.traits.height_cutoff[0])
    # one look before the first that counts nothing is seen yet
    cuts = np.array([0.0, *np.arange(max(start - LOOK, LOOK), last - 0.1 * LOOK, LOOK), last])
    m, n = e.arrival.shape[0], normals.shape[1]
    columns = [np.full(m, cut) for cut in cuts]

    found = model.recognise(e, np.stack(columns))
    count, others = found.mean.shape[1:]
    noise = generator.standard_normal((count * others, n))
    odds = found.mean[0] + np.einsum("chp,pn->nch", found.slope[0], normals)
    odds += (found.factor[0] @ noise).T.reshape(n, count, others)
    odds = np.concatenate([np.zeros((n, count, 1)), odds], axis=2)
    belief = np.exp(odds - odds.max(axis=2, keepdims=True))
    belief /= belief.sum(axis=2, keepdims=True)

    b, eye = generator.standard_normal((MEMORY, n)), generator.standard_normal((n, 3))
    error = np.empty((n, count, 3))
    for c, cut in enumerate(columns):
        ahead = model.foresee(e, cut, cut)
        types = ahead.offset[0] + np.einsum("hqp,pn->nhq", ahead.slope[0], normals)
        types += np.einsum("hqp,pn->nhq", ahead.memory[0], b) + ahead.sd[0] * eye[:, None]
        planned = np.eye(others + 1)[odds[:, c].argmax(axis=1)]
        error[:, c] = np.einsum("nh,nhq->nq", belief[:, c] if ready.weighted else planned, types)
    return Unfolding(cuts, belief, error)
