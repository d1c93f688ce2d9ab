"""Measures of a swept question, and the columns that each of them fills in a table."""

from __future__ import annotations

from typing import Literal

from latebreak.service import quantities
from latebreak.service.questions.fly import KEYS as OF_FLY
from latebreak.service.questions.goal import MEASURES as OF_COMPARE

#: Questions that can be swept.
Question = Literal["compare", "fly"]

#: Every measure of each question, in the order of the vocabulary; units are in the keys.
MEASURES: dict[Question, tuple[str, ...]] = {
    "compare": tuple(one.key for one in quantities.MEASURES if one.key in OF_COMPARE),
    "fly": tuple(OF_FLY),
}


def parts(question: Question, intervals: bool) -> dict[str, str]:
    """Return the parts of a measure: the ending of the column, and the key in the answer's JSON.

    `_low` and `_high` are the 90 % interval of an estimate for compare, and 5 % and 95 % of the throws for fly.
    """
    if question == "fly":
        return {"": "mean", "_sd": "sd", "_low": "low", "_high": "high", "_sampling_error": "sampling_error"}
    interval = {"_low": "low", "_high": "high"} if intervals else {}
    return {"": "value", **interval, "_sampling_error": "sampling_error"}
