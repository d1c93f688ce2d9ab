"""The what-ifs: a scenario in, an answer out. Command line, service and report all call these functions."""

from latebreak.service.questions.aim import AimResult, aim
from latebreak.service.questions.answer import Answer, Estimate, OverThrows
from latebreak.service.questions.compare import CompareResult, compare
from latebreak.service.questions.fit import fit
from latebreak.service.questions.fitting.result import FitResult, PitchFit
from latebreak.service.questions.fly import FlyResult, fly
from latebreak.service.questions.hitters import hitters
from latebreak.service.questions.levers import LeversResult, levers
from latebreak.service.questions.mix import MixResult, mix
from latebreak.service.questions.portrait import PortraitResult
from latebreak.service.questions.portray import portray
from latebreak.service.questions.reach import ReachResult, reach
from latebreak.service.questions.teaching.result import HittersResult

__all__ = [
    "AimResult",
    "Answer",
    "CompareResult",
    "Estimate",
    "FitResult",
    "FlyResult",
    "HittersResult",
    "LeversResult",
    "MixResult",
    "OverThrows",
    "PitchFit",
    "PortraitResult",
    "ReachResult",
    "aim",
    "compare",
    "fit",
    "fly",
    "hitters",
    "levers",
    "mix",
    "portray",
    "reach",
]
