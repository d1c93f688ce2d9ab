"""Ranges of a scenario's numbers: what is possible, what is usual, and in which unit.

A field of a section is declared as ``Annotated[float, Range(...)]``; that declaration alone drives reading the key
in either unit, the faults, the warnings and their wording.
"""

from __future__ import annotations

from dataclasses import dataclass

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from latebreak.service.quantities.units import Unit, is_finite_number


@dataclass(frozen=True)
class Range:
    """Metadata of a numeric field.

    Attributes
    ----------
    unit : Unit
        Unit of the field's value.
    possible : tuple of float
        Closed range; a value outside is a fault.
    usual : tuple of float, optional
        Closed range; a value outside is a warning and the run goes on.
    whole : bool
        Whether only whole numbers are accepted.
    """

    unit: Unit
    possible: tuple[float, float]
    usual: tuple[float, float] | None = None
    whole: bool = False

    def validate(self, value: object) -> float:
        """Return the value as a number of the field; refuse every other thing.

        Raises
        ------
        PydanticCustomError
            Type "range"; its context carries this range, for the wording of the fault.
        """
        low, high = self.possible
        if is_finite_number(value) and low <= value <= high and (not self.whole or value == int(value)):
            return int(value) if self.whole else float(value)
        raise PydanticCustomError("range", "not a possible value", {"range": self})

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.validate)
