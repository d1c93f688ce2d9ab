"""Numbers as people say them: with a unit, and a direction in place of a bare sign."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from latebreak.service.scenario.section import Hand

#: What the sign of a quantity means.
Direction = Literal["size", "height", "side", "time", "change", "place"]


@dataclass(frozen=True)
class Phrase:
    """How a quantity is said.

    Attributes
    ----------
    label : str
        What it is.
    unit : str
        Its unit.
    digits : int
        Digits after the point.
    direction : {"size", "height", "side", "time", "change", "place"}
        Never signed, up or down, arm side or glove side, late or early, more or less, farther or nearer.
    """

    label: str
    unit: str
    digits: int
    direction: Direction = "size"

    def say(self, value: float | None, hand: Hand) -> str:
        """Say one value."""
        if value is None:
            return "none arrived"
        return f"{abs(value):.{self.digits}f} {self.unit}{_after(self._toward(value, hand))}"

    def say_range(self, low: float | None, high: float | None, hand: Hand) -> str:
        """Say a range, the unit left out; the direction is named where the two ends differ."""
        if low is None or high is None:
            return ""
        if self.direction == "size" or self._toward(low, hand) == self._toward(high, hand):
            small, large = sorted((low, high)) if self.direction == "size" else sorted((abs(low), abs(high)))
            return f"{small:.{self.digits}f} to {large:.{self.digits}f}"
        ends = (
            f"{abs(end):.{self.digits}f}{_after(self._toward(end, hand).removesuffix(' side'))}" for end in (low, high)
        )
        return " to ".join(ends)

    def _toward(self, value: float, hand: Hand) -> str:
        if round(abs(value), self.digits) == 0.0:
            return ""
        if self.direction == "height":
            return "up" if value >= 0.0 else "down"
        if self.direction == "time":
            return "late" if value >= 0.0 else "early"
        if self.direction == "change":
            return "more" if value >= 0.0 else "less"
        if self.direction == "place":
            return "farther" if value >= 0.0 else "nearer"
        if self.direction == "side":  # positive = catcher's right = the glove side of a right-hander
            return "glove side" if (value >= 0.0) == (hand == "right") else "arm side"
        return ""


def _after(words: str) -> str:
    return f" {words}" if words else ""
