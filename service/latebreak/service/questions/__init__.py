"""The what-ifs: a scenario in, an answer out. Command line, service and report all call these functions."""

from latebreak.service.questions.answer import Answer, Estimate, OverThrows
from latebreak.service.questions.compare import CompareResult, compare
from latebreak.service.questions.fly import FlyResult, fly

__all__ = ["Answer", "CompareResult", "Estimate", "FlyResult", "OverThrows", "compare", "fly"]
