"""The hitter: what he sees of a pitch, what he takes it for, whether he swings and whether he misses.

What a notebook needs stands here and, for the moments of a pitch, in `latebreak.perception.moments`; README.md of this
package tells the model in one reading.

Examples
--------
A professional who expects two fastballs in three pitches faces the curve of a pitcher without scatter:

>>> import numpy as np
>>> from latebreak.engine import Conditions, Pitch, Target, prepare
>>> from latebreak.engine.units import DEGREE, FOOT, MPH, RPM
>>> from latebreak.perception import NOISE, Situation, one_glance, preset, remember
>>> def paths(speed, spin_rate, break_clock, gyro, height):
...     pitch = Pitch(
...         speed * MPH, spin_rate * RPM, break_clock * DEGREE, gyro * DEGREE, -2.0 * FOOT, 6.0 * FOOT, 6.0 * FOOT,
...         Target(0.0, height * FOOT),
...     )
...     bundle = prepare(pitch, Conditions(air_density=1.2))
...     return bundle.flight.paths(bundle.mean.releases())
>>> fastball, curve = paths(93, 2300, 20, 18, 2.6), paths(79, 2600, 205, 35, 1.8)
>>> hitter = preset("professional")
>>> types = remember(("fastball", "curve"), (2 / 3, 1 / 3), (fastball, curve), hitter)
>>> made = one_glance.judge(curve, types, hitter, Situation(), np.zeros((len(NOISE), 1)))
>>> belief, swing, contact = made.belief[1, 0, 0], made.swing[0, 0], made.contact[0, 0, 0]
>>> f"belief in the curve {belief:.0%}, swings {swing:.0%}, meets it {contact:.0%}"
'belief in the curve 100%, swings 77%, meets it 85%'

When it leaves the fastball's tunnel, and when he knows it:

>>> from latebreak.perception.moments import MOMENTS, moments
>>> when = moments(one_glance, curve, types, 1, hitter, Situation(), np.zeros((len(NOISE), 1)))
>>> {name: f"{1e3 * time:.0f} ms" for name, time in zip(MOMENTS, when.time[:, 0, 0])}
{'tunnel_exit': '98 ms', 'recognition': '195 ms', 'break_onset': '173 ms'}
"""

from typing import TYPE_CHECKING

from latebreak.engine.on_request import on_request

if TYPE_CHECKING:
    from latebreak.perception.decision import Zone
    from latebreak.perception.eye import Eye
    from latebreak.perception.model import HitterModel, Judgement, Situation, keen_eye, one_glance, speed_alone
    from latebreak.perception.parameters import LEVELS, Parameters, preset
    from latebreak.perception.registry import hitter_model
    from latebreak.perception.repertoire import Types, remember
    from latebreak.perception.seeing import NOISE

#: Where each public name is.
_HOME = {
    "LEVELS": "parameters",
    "NOISE": "seeing",
    "Eye": "eye",
    "HitterModel": "model",
    "Judgement": "model",
    "Parameters": "parameters",
    "Situation": "model",
    "Types": "repertoire",
    "Zone": "decision",
    "hitter_model": "registry",
    "keen_eye": "model",
    "one_glance": "model",
    "preset": "parameters",
    "remember": "repertoire",
    "speed_alone": "model",
}

__getattr__, __dir__ = on_request(__name__, _HOME)
