"""What every section of a scenario file has in common: strict reading, and knowledge of its own keys."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from latebreak.service.scenario.ranges import Range

Level = Literal["youth", "high_school", "college", "professional"]
Hand = Literal["right", "left"]
Role = Literal["fastball", "breaking", "offspeed"]


@dataclass(frozen=True)
class Text:
    """Metadata of a text field: 1 to `longest` printable characters."""

    longest: int

    def validate(self, value: object) -> str:
        """Return the text; refuse every other thing.

        Raises
        ------
        PydanticCustomError
            Type "text"; its context carries this metadata, for the wording of the fault.
        """
        if isinstance(value, str) and value.strip() and len(value) <= self.longest and value.isprintable():
            return value
        raise PydanticCustomError("text", "not a possible text", {"text": self})

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.validate)


class Section(BaseModel):
    """A table of the scenario file; unknown keys and wrong types are faults."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)

    @classmethod
    def ranges(cls) -> dict[str, Range]:
        """Return the numeric fields, by key."""
        return {
            key: note for key, info in cls.model_fields.items() for note in info.metadata if isinstance(note, Range)
        }

    @classmethod
    def other_keys(cls) -> dict[str, str]:
        """Return the keys in a second unit, each with the key in the first unit."""
        return {
            quantity.unit.other.key(key, quantity.unit.suffix): key
            for key, quantity in cls.ranges().items()
            if quantity.unit.other is not None
        }

    @classmethod
    def keys(cls) -> list[str]:
        """Return every key that may stand in this section, in either unit."""
        return [*cls.model_fields, *cls.other_keys()]

    @classmethod
    def has(cls, key: str) -> bool:
        """Tell whether a key may stand in this section."""
        return key in cls.model_fields or key in cls.other_keys()

    @classmethod
    def choices(cls, key: str) -> list[str]:
        """Return the words that a key accepts, where it accepts some words only."""
        annotation = cls.model_fields[key].annotation
        words = get_args(annotation) + tuple(word for part in get_args(annotation) for word in get_args(part))
        return [word for word in words if isinstance(word, str)]

    @classmethod
    def subsections(cls) -> dict[str, type[Section]]:
        """Return the fields that are one section."""
        return {
            key: info.annotation
            for key, info in cls.model_fields.items()
            if isinstance(info.annotation, type) and issubclass(info.annotation, Section)
        }

    @classmethod
    def named_sections(cls) -> dict[str, type[Section]]:
        """Return the fields that are many sections of one kind, each under a name that the user chose."""
        return {
            key: kind
            for key, info in cls.model_fields.items()
            for kind in get_args(info.annotation)
            if isinstance(kind, type) and issubclass(kind, Section)
        }
