"""The one vocabulary: every quantity that anybody sees, by its key, and how its values are said."""

from __future__ import annotations

from latebreak.service.quantities.flight import ARRIVAL, TRACK
from latebreak.service.quantities.measures import DECIDING, GROUPS, HIDES, MAIN, MEASURES
from latebreak.service.quantities.pitch import CLOCK_SPREAD, MEAN, SCATTER, SPREAD, SPREAD_SCALE
from latebreak.service.quantities.quantity import Quantity
from latebreak.service.quantities.saying import Reader, Said, Wording, chance_in_words, change_of, told_of, value_of
from latebreak.service.quantities.sentence import Name, Sentence, sentence
from latebreak.service.quantities.setting import SETTING
from latebreak.service.quantities.units import Units, clock_face

#: Every quantity by its key.
QUANTITIES = {one.key: one for one in (*MEASURES, *MEAN, *SCATTER, *ARRIVAL, *TRACK, *SETTING)}

__all__ = [
    "CLOCK_SPREAD",
    "DECIDING",
    "GROUPS",
    "HIDES",
    "MAIN",
    "MEASURES",
    "QUANTITIES",
    "SPREAD",
    "SPREAD_SCALE",
    "Name",
    "Quantity",
    "Reader",
    "Said",
    "Sentence",
    "Units",
    "Wording",
    "chance_in_words",
    "change_of",
    "clock_face",
    "sentence",
    "told_of",
    "value_of",
]
