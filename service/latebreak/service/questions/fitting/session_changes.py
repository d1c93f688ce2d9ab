"""What changed in a pitch from one session to another, beyond what chance would do."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, erf, hypot, radians, sqrt
from typing import Any

from latebreak.engine.errors import InputError
from latebreak.service.judging.setting import Progress
from latebreak.service.quantities import measures
from latebreak.service.questions.answer import Estimate
from latebreak.service.questions.compare import compare
from latebreak.service.questions.fitting.result import Change
from latebreak.service.questions.fitting.trade import wrapped
from latebreak.service.questions.fitting.values import NORMAL_90, Known
from latebreak.service.scenario import from_mapping, reference_fastball
from latebreak.service.scenario.pitch_entry import NAME_LENGTH

#: Where a pitch is aimed.
AIM_KEYS = ("target_side_ft", "target_height_ft", "launch_elevation_deg", "launch_azimuth_deg")
#: What the change did before the hitter, what comes of it last.
MEASURES = tuple(one.key for one in reversed(measures.MEASURES) if one.told is not None)


def measured_changes(earlier: Known, later: Known) -> dict[str, Change]:
    """Changes of the fitted quantities that both sessions tell something about; both errors count."""
    changes = {}
    for key, value in later.values.items():
        both = key in earlier.values and "assumed" not in (earlier.origin[key], later.origin[key])
        error = hypot(earlier.errors[key], later.errors[key]) if both else 0.0
        if not error:
            continue
        difference = value.value - earlier.values[key].value
        if key == "break_clock_deg":
            difference = wrapped(difference)
        elif key == "seam_force":
            difference = value.value - _along(earlier, later)
        half = NORMAL_90 * error
        # chance that the true change has this sign, where nothing was known before: Phi(|d| / error)
        chance = 50.0 * (1.0 + erf(abs(difference) / (error * sqrt(2.0))))
        changes[key] = Change(Estimate(difference, 0.0, difference - half, difference + half), chance)
    return changes


def _along(earlier: Known, later: Known) -> float:
    """Return the earlier seam-made force along the direction of the later one."""
    clocks = [known.values["seam_force_clock_deg"].value for known in (earlier, later) if known.fitted.seam_clock]
    turned = radians(clocks[1] - clocks[0]) if len(clocks) == 2 else 0.0
    return earlier.values["seam_force"].value * cos(turned)


def seen_changes(
    mapping: Mapping[str, Any], name: str, earlier: Mapping[str, Any], progress: Progress
) -> tuple[dict[str, Change], list[str]]:
    """Changes of late break, of where it leaves the fastball's tunnel, of misses and of the whole mix.

    Both versions are judged behind the later fastball and aimed where the later one is: where a pitch was thrown that
    day is no part of it.

    Parameters
    ----------
    mapping : mapping
        The later scenario.
    name : str
        The pitch.
    earlier : mapping
        Its table in the earlier session.
    progress : callable
        Told the share of the work that is done.

    Returns
    -------
    changes : dict of str to Change
        Empty where the pitch can't be judged.
    warnings : list of str
        Why not.
    """
    before = f"{name[: NAME_LENGTH - 12]} (earlier)"
    while before in mapping["pitch"]:
        before += "'"
    later = from_mapping(mapping).scenario
    if reference_fastball(later) in (None, name):
        return {}, []
    both = with_versions(mapping, later.hitter.expects, name, {before: earlier})
    try:
        found = compare(from_mapping(both), pitches=[name, before], progress=progress).result.estimators
    except InputError as error:
        problems = "; ".join(fault.problem for fault in error.faults)
        return {}, [f"pitch.{name}: what the change did to late break and misses can't be said: {problems}"]
    changes = {}
    for key in (key for key in MEASURES if key in found[name]):
        pair = found[before][key].beside(found[name][key])
        change, rise = pair.change(1, since=0), pair.chance_of_lead(1, since=0)
        if rise is not None:
            changes[key] = Change(change, rise if change.value >= 0.0 else 100.0 - rise)
    return changes, []


def with_versions(
    mapping: Mapping[str, Any], expects: Mapping[str, float], name: str, versions: Mapping[str, Mapping[str, Any]]
) -> dict[str, Any]:
    """Put other versions of a pitch into a scenario, aimed where the pitch is.

    Parameters
    ----------
    mapping : mapping
        The scenario.
    expects : mapping of str to float
        Shares of its pitches. A version has none of its own: judged as an alternative of the pitch, it has that one's.
    name : str
        The pitch.
    versions : mapping of str to mapping
        Tables of the versions by the names that they get.
    """
    aim = {key: value for key, value in mapping["pitch"][name].items() if key in AIM_KEYS}
    entries = {
        version: {key: value for key, value in entry.items() if key not in (*AIM_KEYS, "reference", "name")} | aim
        for version, entry in versions.items()
    }
    return {
        **mapping,
        "pitch": {**mapping["pitch"], **entries},
        "hitter": {**mapping.get("hitter", {}), "expects": {**expects, **dict.fromkeys(entries, 0.0)}},
    }
