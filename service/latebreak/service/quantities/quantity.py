"""A quantity: its unit, what its sign means, which way is better for the pitcher, and what it is called."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from latebreak.service.quantities.units import PERCENT, POINTS, Unit, unit_of

#: What follows a value above 0, and one below.
Sign = tuple[str, str]

SIZE: Sign = ("", "")
HEIGHT: Sign = ("up", "down")
#: Of a right-hander: positive = the catcher's right. A left-hander's sides are the other way round.
SIDE: Sign = ("glove side", "arm side")
TIME: Sign = ("late", "early")
TURN: Sign = ("clockwise", "counter-clockwise")
ABOVE_GROUND: Sign = ("", "below the ground")
MORE: Sign = ("more", "less")
#: Of a distance from the plate.
FARTHER: Sign = ("farther", "nearer")


@dataclass(frozen=True)
class Told:
    """How a sentence tells that a quantity changed: "released higher by 1.2 in".

    Attributes
    ----------
    rise, fall : str
        What happened; sides are those of a right-hander.
    unit : Unit
        In which it is told by how much.
    digits : int
        After the point.
    amount : str
        What stands for the unit where its symbol does not say enough.
    """

    rise: str
    fall: str
    unit: Unit
    digits: int = 1
    amount: str = ""


@dataclass(frozen=True)
class Quantity:
    """What is said of one key, wherever it is said.

    Attributes
    ----------
    key : str
        In files, options, answers and messages; it ends in the unit.
    name : str
        Where it stands alone, as at the head of a row.
    digits : int
        After the point, in the unit of the key.
    sign : Sign
        What follows a value above and below 0.
    short : str
        Where room is little, and within sentences; default: the name.
    meaning : str
        What it means to a coach.
    better : {"more", "less", ""}
        Which is better for the pitcher; empty where neither is, or both may be.
    matters : float or None
        Smallest difference that matters, in the unit of the key (all chosen: what a coach would act on).
    where : str
        From where a distance is told.
    part : str
        How a row begins that says the row above it in another way; empty for a row of its own.
    has_row : bool
        Whether tables have a row for it; what another row tells has none.
    event : str
        Start of the keys of the event that this tells, which may never happen; empty for what is no event.
    never : str
        What is said where it does not happen.
    own_unit : Unit or None
        Where the key does not end in it.
    change_sign : Sign or None
        What follows a rise and a fall; default: the words of the sign, or more and less.
    change_unit : Unit or None
        In which a change is said; default: its own, and points for percent.
    change_digits : int or None
        Of a change; default: `digits`.
    told : Told or None
        How a change between sessions is told; None where another quantity tells it better.
    """

    key: str
    name: str
    digits: int = 1
    sign: Sign = SIZE
    short: str = ""
    meaning: str = ""
    better: Literal["more", "less", ""] = ""
    matters: float | None = None
    where: str = ""
    part: str = ""
    has_row: bool = True
    event: str = ""
    never: str = ""
    own_unit: Unit | None = None
    change_sign: Sign | None = None
    change_unit: Unit | None = None
    change_digits: int | None = None
    told: Told | None = None

    @property
    def unit(self) -> Unit:
        """Unit of its values."""
        return self.own_unit or unit_of(self.key)

    @property
    def brief(self) -> str:
        """The short name."""
        return self.short or self.name

    @property
    def unit_of_change(self) -> Unit:
        """Unit in which a change is said."""
        return self.change_unit or (POINTS if self.unit is PERCENT else self.unit)

    def favours(self, difference: float) -> int:
        """Return 1 where a difference is good for the pitcher, -1 where bad, 0 where it does not show in the digits."""
        shows = round(difference, self.digits)
        return 0 if not shows or not self.better else 1 if (shows > 0.0) == (self.better == "more") else -1
