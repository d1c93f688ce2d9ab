"""What a scenario does not say: spreads by level and role, the hitter's eye, the commit point and the expectation.

References
----------
Within-game standard deviations of professionals: medians over 71 pitcher-and-type pairs, computed (own analysis of
public tracked pitches). That scatter shrinks with level: abstract on release-point variability, Front Sports Act Living
(2024) 1447665, major against minor league, read; the factors below are chosen.
Balls: C_D within the four-seams of one park has an SD of 0.018, C_L of one pitcher's four-seams one of 0.023 at S =
0.21, of which a part is the tracking device's; movement of four-seams within a game scatters by 1.9 x 1.3 in (SD; side,
height); all computed from open tracking data.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from latebreak.engine.units import FOOT
from latebreak.service.quantities.units import is_finite_number
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS

#: Standard deviations of a professional (computed, own analysis, see above); clock and gyro by role below. Launch
#: angles are those at one target. Within a game they scatter by 0.87 and 0.74 deg (computed, the same), but there the
#: pitcher also aims at other targets. Chosen: a professional's four-seams then miss their target by 10 in on average;
#: catchers' targets are missed by some 10 to 12 in (common practice, no source).
PROFESSIONAL_SPREAD = {
    "speed_mph": 1.05,
    "spin_rpm": 81.0,
    "release_side_in": 1.2,
    "release_height_in": 0.77,
    "extension_in": 1.3,
    "launch_elevation_deg": 0.76,
    "launch_azimuth_deg": 0.65,
}
#: deg, measured two-dimensional axis: four-seam fastball, changeup, curve (computed, own analysis, see above).
CLOCK_SPREAD = {"fastball": 3.2, "offspeed": 2.9, "breaking": 5.1}
#: deg, chosen: as wide as the clock of the same role or a little wider, since no published value was found.
GYRO_SPREAD = {"fastball": 4.0, "offspeed": 4.0, "breaking": 6.0}
#: Standard deviations from ball to ball, of every level and role. Drag: computed, see above. Lift and seams: chosen.
#: Together they scatter C_L along the break by 0.0125, so that of the variance behind 0.023 a third is the balls' and
#: the rest the device's; a professional's four-seams then move with an SD of 1.2 in up and down (seen, with the device:
#: 1.3) and 1.3 in to the side (1.9). More would exceed what is seen up and down, since seams push in any direction.
BALL_SPREAD = {"drag_coefficient": 0.018, "lift_scale": 0.04, "seam_force": 0.008}
#: Factors on the professional's spread of the release, chosen: younger pitchers scatter more.
SPREAD_FACTOR = {"professional": 1.0, "college": 1.2, "high_school": 1.5, "youth": 2.0}

#: ms from swing start to contact: 150 of a professional (Tresilian 2004, read, as a typical value); the rest chosen.
COMMIT_BEFORE_ARRIVAL = {"professional": 150.0, "college": 160.0, "high_school": 170.0, "youth": 180.0}
#: m, eye of an adult in the stance: toward the hitter's side, up, behind the front edge. An assumption: no published
#: measurement was found.
ADULT_EYE = {"eye_side_ft": 0.76, "eye_height_ft": 1.55, "eye_depth_ft": 0.30}
#: ft, bottom and top of the strike zone of an adult (about the knees and the middle of the trunk; common practice, no
#: source).
ADULT_ZONE = {"zone_bottom_ft": 1.5, "zone_top_ft": 3.5}
#: Chosen: a twelve-year-old is about five sixths as tall as an adult.
EYE_FACTOR = {"professional": 1.0, "college": 1.0, "high_school": 1.0, "youth": 5.0 / 6.0}

#: Share of fastballs that a hitter expects where the file does not say (chosen: common practice, no source).
FASTBALL_SHARE = 0.6
#: Shares may miss 1 by this much (chosen: three thirds written 0.333 pass); they are then scaled to 1.
SHARE_TOLERANCE = 0.002

#: Air where the file does not say (chosen: a mild day).
AIR = {"temperature_c": 20.0, "humidity_percent": 50.0}


def with_defaults(content: Mapping[str, Any]) -> dict[str, Any]:
    """Fill in what a scenario does not say.

    Parameters
    ----------
    content : mapping
        Scenario in the keys of the model, not validated: anything of a wrong type is handed on as it is.

    Returns
    -------
    dict
        A new scenario; tables of the old one are not changed.
    """
    pitches, pitcher = content.get("pitch"), content.get("pitcher")
    level = pitcher.get("level") if isinstance(pitcher, Mapping) else None
    entries = dict(pitches) if isinstance(pitches, Mapping) else {}
    roles = {name: entry.get("role", "breaking") for name, entry in entries.items() if isinstance(entry, Mapping)}
    full = dict(content)
    full["air"] = _air(content.get("air", {}))
    full["hitter"] = _hitter(content.get("hitter", {}), level, roles)
    if isinstance(pitches, Mapping):
        full["pitch"] = {name: _pitch(entry, level) for name, entry in entries.items()}
    return full


def default_spread(level: object, role: object) -> dict[str, float]:
    """Return a release's nine standard deviations by level and role; an unknown one is college or breaking."""
    known_role = role if isinstance(role, str) and role in CLOCK_SPREAD else "breaking"
    professional = PROFESSIONAL_SPREAD | {
        "break_clock_deg": CLOCK_SPREAD[known_role],
        "gyro_deg": GYRO_SPREAD[known_role],
    }
    return {key: SPREAD_FACTOR[_known(level)] * professional[key] for key in SPREAD_KEYS}


def expected_shares(roles: Mapping[str, object]) -> dict[str, float]:
    """Share out what the hitter expects: fastballs 0.6 together, the rest evenly."""
    fastballs = sum(role == "fastball" for role in roles.values())
    others = len(roles) - fastballs
    together = FASTBALL_SHARE if fastballs and others else float(others == 0)  # all share 1 where there is one kind
    return {
        name: together / fastballs if role == "fastball" else (1.0 - together) / others for name, role in roles.items()
    }


def _known(level: object) -> str:
    # A wrong level is a fault of its own; the stand-in keeps the other faults of the file apart from it.
    return level if isinstance(level, str) and level in SPREAD_FACTOR else "college"


def _air(air: Any) -> Any:
    return AIR | dict(air) if isinstance(air, Mapping) and "density_kg_m3" not in air else air


def _pitch(entry: Any, level: object) -> Any:
    if not isinstance(entry, Mapping) or not isinstance(entry.get("spread", {}), Mapping):
        return entry
    usual = default_spread(level, entry.get("role", "breaking")) | BALL_SPREAD
    return {**entry, "spread": usual | dict(entry.get("spread", {}))}


def _hitter(hitter: Any, level: object, roles: Mapping[str, object]) -> Any:
    if not isinstance(hitter, Mapping):
        return hitter
    own_level = _known(hitter.get("level", level))
    defaults = {
        "level": own_level,
        "commit_before_arrival_ms": COMMIT_BEFORE_ARRIVAL[own_level],
        **{key: EYE_FACTOR[own_level] * metres / FOOT for key, metres in ADULT_EYE.items()},
        **{key: EYE_FACTOR[own_level] * feet for key, feet in ADULT_ZONE.items()},
    }
    full = defaults | dict(hitter)
    shares = full.get("expects", expected_shares(roles))
    if isinstance(shares, Mapping):
        full["expects"] = _scaled(dict.fromkeys(roles, 0.0) | dict(shares))
    return full


def _scaled(shares: dict[str, Any]) -> dict[str, Any]:
    """Scale shares whose sum misses 1 by rounding only; leave every other case to the faults."""
    total = sum(sorted(shares.values())) if all(is_finite_number(share) for share in shares.values()) else 0.0
    if not 1e-12 < abs(total - 1.0) <= SHARE_TOLERANCE:
        return shares
    return {name: share / total for name, share in shares.items()}
