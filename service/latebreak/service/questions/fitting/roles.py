"""Which of the measured pitches is the fastball, and what the others are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite

from latebreak.engine.errors import Fault, InputError
from latebreak.service.questions.fitting.base import Base
from latebreak.service.scenario.section import Role
from latebreak.service.wording import did_you_mean, shown

#: Words of the trade in a pitch's name that tell its role.
ROLE_WORDS: dict[Role, tuple[str, ...]] = {
    "fastball": ("fastball", "four_seam", "two_seam", "sinker", "cutter"),
    "breaking": ("curve", "slider", "breaking", "knuckle", "slurve"),
    "offspeed": ("change", "split", "fork", "offspeed"),
}
#: Share of the base's fastball's speed from which a pitch of unknown role can be the fastball (chosen: sliders reach
#: some 91 %).
FASTBALL_SHARE = 0.92


@dataclass(frozen=True)
class Roles:
    """Roles of the measured pitches.

    Attributes
    ----------
    of : dict of str to Role
        By name.
    fastball : str or None
        The one that the others are judged against; None where none was thrown.
    warnings : tuple of str
        What was guessed.
    """

    of: dict[str, Role]
    fastball: str | None
    warnings: tuple[str, ...]


def find_roles(base: Base, speeds: Mapping[str, float], asked: str | None, source: str) -> Roles:
    """Find the roles.

    Parameters
    ----------
    base : Base
        A pitch of the same name there has its role.
    speeds : mapping of str to float
        Typical speed of each measured pitch by name, any unit of the base's fastball (mph); NaN where not measured.
    asked : str or None
        Which is the fastball, where the user said so.
    source : str
        File of the throws, for messages.

    Raises
    ------
    InputError
        If no pitch has the name that was asked for.
    """
    names = list(speeds)
    if asked is not None and asked not in names:
        allowed = ", ".join(shown(name) for name in names)
        remedy = did_you_mean(asked, names) or "name the fastball as the column `pitch` does"
        raise InputError([Fault("fastball", f"no throw is of a pitch {shown(asked)}", allowed, remedy)], source)
    known = {name: role for name in names if (role := _known(base, name)) is not None}
    warnings = []
    fastball = asked or _named(base, names, known)
    if fastball is None:
        fastball = _fastest(base, speeds, known)
        if fastball is not None:
            warnings.append(
                f"no pitch is said to be the fastball: {shown(fastball)}, the fastest, is taken for it; "
                "--fastball NAME says another"
            )
    if fastball is not None:
        known[fastball] = "fastball"
    unknown = [name for name in names if name not in known]
    if unknown:
        listed = ", ".join(shown(name) for name in unknown)
        warnings.append(
            f"neither name nor base tells the role of {listed}: taken as breaking; where that is wrong, mend `role` in "
            "the scenario"
        )
    return Roles({name: known.get(name, "breaking") for name in names}, fastball, tuple(warnings))


def _known(base: Base, name: str) -> Role | None:
    if name in base.scenario.pitch:
        return base.scenario.pitch[name].role
    plain = name.lower().replace("-", "_").replace(" ", "_")
    return next((role for role, words in ROLE_WORDS.items() if any(word in plain for word in words)), None)


def _named(base: Base, names: list[str], known: Mapping[str, Role]) -> str | None:
    """Return the fastball by name: the base's own, else the one that is called so."""
    if base.fastball in names:
        return base.fastball
    fastballs = [name for name in names if known.get(name) == "fastball"]
    return next((name for name in fastballs if "fastball" in name.lower()), next(iter(fastballs), None))


def _fastest(base: Base, speeds: Mapping[str, float], known: Mapping[str, Role]) -> str | None:
    """Return the fastest pitch of unknown role, where it is as fast as a fastball of the base's pitcher."""
    unknown = {name: speed for name, speed in speeds.items() if name not in known and isfinite(speed)}
    if not unknown:
        return None
    fastest = max(unknown, key=lambda name: unknown[name])
    least = 0.0 if base.fastball is None else FASTBALL_SHARE * base.scenario.pitch[base.fastball].speed_mph
    is_fastest_of_all = all(not speed > unknown[fastest] for speed in speeds.values())
    return fastest if unknown[fastest] >= least and is_fastest_of_all else None
