"""Colours of the figures, for a light and a dark background, and what sets each role apart besides its colour."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Literal

#: What a colour stands for; the first three are pitches.
Role = Literal["thrown", "rival", "fastball", "marks", "spread", "text", "muted", "background"]
#: Roles of a path; `rival` is the second of two compared pitches.
PathRole = Literal["thrown", "rival", "fastball"]

#: On and off, in widths of the line; None for an unbroken line.
Dashes = tuple[float, ...] | None


@dataclass(frozen=True)
class Palette:
    """A colour, as #rrggbb, for each role.

    All of them are different, so that a colour tells its role. Chosen by search: text and lines stand out from the
    background by a contrast of 4.5 or more (`spread` by 3), and paths and marks stay apart for every kind of colour
    vision.

    Attributes
    ----------
    thrown, rival, fastball : str
        The pitch, the pitch that it is compared with, the fastball.
    marks : str
        Commit point, separation and the like.
    spread : str
        Intervals that belong to no path.
    text, muted, background : str
        Words; axes and what matters less; what all is drawn upon.
    """

    thrown: str
    rival: str
    fastball: str
    marks: str
    spread: str
    text: str
    muted: str
    background: str

    def colour(self, role: Role) -> str:
        """Return the colour of a role."""
        return str(getattr(self, role))

    def variables(self) -> dict[str, str]:
        """Return the colours by the names of their CSS variables."""
        return {variable(role): colour for role, colour in asdict(self).items()}


LIGHT = Palette(
    thrown="#bb3b12",
    rival="#7d2495",
    fastball="#1747cf",
    marks="#3a2c00",
    spread="#8b857a",
    text="#20262c",
    muted="#5e666e",
    background="#fbfaf6",
)
DARK = Palette(
    thrown="#ff6b3d",
    rival="#dd79c6",
    fastball="#5b8cff",
    marks="#ffeab0",
    spread="#8f8a80",
    text="#e9ecee",
    muted="#a0a9b1",
    background="#12171c",
)


@dataclass(frozen=True)
class Look:
    """How a path is drawn, whatever its colour.

    Attributes
    ----------
    dashes : tuple of float, or None
        Of its line.
    width : float
        Of its line, points.
    marker : str
        Of single throws.
    """

    dashes: Dashes
    width: float
    marker: str


LOOKS: dict[PathRole, Look] = {
    "thrown": Look(None, 2.4, "o"),
    "rival": Look((7.0, 1.4, 1.2, 1.4), 2.2, "^"),
    "fastball": Look((4.0, 1.8), 1.9, "+"),
}


def variable(role: str) -> str:
    """Return the name of the CSS variable of a role."""
    return "--" + role.replace("_", "-")
