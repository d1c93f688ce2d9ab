"""Faults that no single key has: keys that exclude, need or contradict each other."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from latebreak.engine.errors import Fault, InputError
from latebreak.engine.laws.registry import Kind, broken, names
from latebreak.service.quantities.units import is_finite_number
from latebreak.service.scenario.correlations import correlation_faults
from latebreak.service.scenario.keys import Document
from latebreak.service.scenario.level_defaults import ADULT_ZONE, EYE_FACTOR, SHARE_TOLERANCE
from latebreak.service.scenario.model import Field
from latebreak.service.wording import clean, did_you_mean, key_path, shown

#: ft from the back point of the plate to its front edge (Official Baseball Rules, as quoted by others).
PLATE_FRONT = 17.0 / 12.0
#: A softball of 11 or 12 in weighs 5.875 to 7 oz and measures 10.875 to 12.125 in (rules, values from memory); the
#: limits stand a little outside.
SOFTBALL = {"mass_oz": (5.8, 7.5), "circumference_in": (10.5, 12.5)}
SOFTBALL_REASON = "softball is not covered: its ball, its distance and its underhand release are not in the models"

TARGET = ("target_side_ft", "target_height_ft")
LAUNCH = ("launch_elevation_deg", "launch_azimuth_deg")


def cross_faults(document: Document, *, plug_ins: bool = True) -> Iterator[Fault]:
    """Find every fault between keys.

    Parameters
    ----------
    document : Document
        Keys of the model, before defaults and validation; values may be of any type.
    plug_ins : bool
        Whether laws and hitter models that are named must be registered here.
    """
    content = document.content
    pitches = table(content, "pitch")
    yield from _softball(document)
    yield from _air(document)
    if plug_ins:
        yield from _laws(table(content, "ball"))
        yield from _hitter_model(table(content, "hitter"))
    if isinstance(content.get("pitch"), Mapping) and not pitches:
        yield Fault("pitch", "there is no pitch", "at least one", "add a table [pitch.NAME]")
    yield from _references(pitches)
    yield from _names(pitches)
    for name in pitches:
        entry = table(pitches, name)
        if isinstance(pitches[name], Mapping):
            yield from _gyro(entry, name)
            yield from _aim(entry, name)
        yield from _behind_the_plate(document, entry, name)
        yield from _seam_force(entry, name)
        yield from correlation_faults(table(entry, "correlation"), "pitch", name, "correlation")
    yield from _taught(table(content, "hitter"))
    yield from _count(table(content, "hitter"))
    yield from _zone(document)
    yield from _shares(table(content, "hitter"), pitches)


def table(content: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    """Return a table, empty where it is missing or no table: that is a fault for others to find."""
    value = content.get(key)
    return value if isinstance(value, Mapping) else {}


def _names(pitches: Mapping[str, Any]) -> Iterator[Fault]:
    """Find pitches that people could not tell apart: the name of one is the name or the key of another."""
    named = {key: name for key in pitches if isinstance(name := table(pitches, key).get("name"), str)}
    read = Counter(named.get(key, key) for key in pitches)
    for key, name in named.items():
        if read[name] > 1:
            problem = f"{shown(name)} is what another pitch is called too"
            yield Fault(key_path("pitch", key, "name"), problem, "a name of its own", "choose another name")


def _softball(document: Document) -> Iterator[Fault]:
    def refusal(where: str, value: object) -> Fault:
        return Fault(where, f"{shown(value)}: {SOFTBALL_REASON}", "baseball", "use latebreak for baseball only")

    content = document.content
    for key in ("title", "sport"):
        text = content.get(key)
        if isinstance(text, str) and "softball" in text.lower():
            yield refusal(key, text)
    for key, (low, high) in SOFTBALL.items():
        value = table(content, "ball").get(key)
        if is_finite_number(value) and low <= value <= high:
            written = document.written.get(("ball", key))
            yield refusal(document.where(("ball", key)), written.value if written else value)


def _air(document: Document) -> Iterator[Fault]:
    air = table(document.content, "air")
    heights = [document.where(("air", key)) for key in ("altitude_m", "pressure_hpa") if key in air]
    if len(heights) > 1:
        both = " and ".join(heights)
        yield Fault("air", f"{both} are given together", "one of altitude and station pressure", f"keep one of {both}")
    makers = [key for key in ("temperature_c", "humidity_percent", "altitude_m", "pressure_hpa") if key in air]
    if "density_kg_m3" in air and makers:
        others = ", ".join(document.where(("air", key)) for key in makers)
        problem = f"density {shown(air['density_kg_m3'])} is given together with {others}"
        yield Fault("air.density_kg_m3", problem, "density alone, or the others without it", "remove density_kg_m3")


def _taught(hitter: Mapping[str, Any]) -> Iterator[Fault]:
    from latebreak.service.scenario.hitters_file import taught_faults  # noqa: PLC0415 - it reads by this loader's parts

    yield from taught_faults(hitter, "hitter")
    if "file" in hitter:
        problem = f"{shown(hitter['file'])}: a file name says nothing here, where no scenario file is read"
        remedy = "send the parameters themselves: taught and taught_factor of that file, under [hitter]"
        yield Fault("hitter.file", problem, "no file name in a request", remedy)


def _hitter_model(hitter: Mapping[str, Any]) -> Iterator[Fault]:
    name = hitter.get("model")
    if not isinstance(name, str):
        return
    from latebreak.perception.registry import hitter_model  # noqa: PLC0415 - compiles kernels; only where it is named

    try:
        hitter_model(name)
    except InputError as error:
        for fault in error.faults:
            yield Fault("hitter.model", clean(fault.problem), fault.allowed, fault.remedy)


def _laws(ball: Mapping[str, Any]) -> Iterator[Fault]:
    kinds: tuple[Kind, ...] = ("lift", "drag")
    for kind in kinds:
        key = f"{kind}_law"
        name = ball.get(key)
        if isinstance(name, str) and name not in names(kind):
            reason = broken().get(name, f"no {kind} law of the name {shown(name)} is registered")
            yield Fault(f"ball.{key}", reason, ", ".join(names(kind)), did_you_mean(name, names(kind)) or "choose one")


def _references(pitches: Mapping[str, Any]) -> Iterator[Fault]:
    fastballs = [name for name in pitches if table(pitches, name).get("role") == "fastball"]
    marked = [name for name in pitches if table(pitches, name).get("reference") is True]
    for name in marked:
        if name not in fastballs:
            where, role = key_path("pitch", name, "reference"), table(pitches, name).get("role", "breaking")
            yield Fault(where, f"true, but the role is {shown(role)}", "true for one fastball", 'set role = "fastball"')
    listed = ", ".join(shown(name) for name in fastballs)
    if len([name for name in marked if name in fastballs]) > 1:
        yield Fault("pitch", f"several fastballs have reference = true ({listed})", "one", "keep it on one of them")
    elif len(fastballs) > 1 and not marked:
        problem = f"there are several fastballs ({listed}) and none has reference = true"
        yield Fault("pitch", problem, "one reference fastball", "add reference = true to one of them")


def _gyro(entry: Mapping[str, Any], name: str) -> Iterator[Fault]:
    where = key_path("pitch", name)
    given = [key for key in ("efficiency_percent", "gyro_deg") if key in entry]
    if len(given) == 2:
        values = " and ".join(f"{key} = {shown(entry[key])}" for key in given)
        yield Fault(where, f"{values} are given together", "one of the two", "remove one of them")
    elif not given:
        problem = "neither efficiency_percent nor gyro_deg is given"
        yield Fault(where, problem, "efficiency 0 to 100 %, or gyro -90 to 90 deg", "add efficiency_percent = ...")
    elif given == ["gyro_deg"] and "gyro_sense" in entry:
        problem = f"{shown(entry['gyro_sense'])} stands beside gyro_deg, whose sign already gives the sense"
        yield Fault(f"{where}.gyro_sense", problem, "only beside efficiency_percent", "remove gyro_sense")


def _aim(entry: Mapping[str, Any], name: str) -> Iterator[Fault]:
    where = key_path("pitch", name)
    target, launch = ([key for key in pair if key in entry] for pair in (TARGET, LAUNCH))
    choices = f"{' with '.join(TARGET)} (or in m), or {' with '.join(LAUNCH)}"
    if target and launch:
        values = ", ".join(f"{key} = {shown(entry[key])}" for key in (*target, *launch))
        yield Fault(where, f"a target and launch angles are given together ({values})", choices, "remove one pair")
    elif not target and not launch:
        yield Fault(where, "it is not said where the pitch is aimed", choices, f"add {' and '.join(TARGET)}")
    else:
        for key in TARGET if target else LAUNCH:
            if key not in entry:
                yield Fault(
                    f"{where}.{key}", f"missing, though {(target or launch)[0]} is given", choices, f"add {key} = ..."
                )


def _behind_the_plate(document: Document, entry: Mapping[str, Any], name: str) -> Iterator[Fault]:
    rubber = table(document.content, "field").get("rubber_to_plate_ft", Field().rubber_to_plate_ft)
    extension = entry.get("extension_ft")
    nearest, farthest = Field.ranges()["rubber_to_plate_ft"].possible
    if not is_finite_number(rubber) or not nearest <= rubber <= farthest:
        return  # a fault of its own
    if is_finite_number(extension) and extension >= rubber - PLATE_FRONT:
        where = document.where(("pitch", name, "extension_ft"))
        problem = f"{shown(extension)} ft releases the ball at or behind the plate, {shown(rubber)} ft from the rubber"
        yield Fault(where, problem, "-1 to 12 ft", "extension is how far in front of the rubber the ball is released")


def _seam_force(entry: Mapping[str, Any], name: str) -> Iterator[Fault]:
    force, clock = entry.get("seam_force", 0.0), "seam_force_clock_deg" in entry
    if is_finite_number(force) and force > 0.0 and not clock:
        where = key_path("pitch", name, "seam_force_clock")
        problem = f"missing beside seam_force = {shown(force)}"
        yield Fault(where, problem, '"1:00" to "12:59", in quotes', 'add seam_force_clock = "..." (or _clock_deg)')
    elif clock and "seam_force" not in entry:
        problem = "missing beside its clock direction"
        yield Fault(key_path("pitch", name, "seam_force"), problem, "0 to 0.5", "add seam_force = ...")


def _count(hitter: Mapping[str, Any]) -> Iterator[Fault]:
    for key, other, allowed in (("strikes", "balls", "0 to 2"), ("balls", "strikes", "0 to 3")):
        if other in hitter and key not in hitter:
            problem = f"missing beside {other} = {shown(hitter[other])}"
            yield Fault(f"hitter.{key}", problem, allowed, f"add {key} = ..., or remove {other} for all counts")


def _zone(document: Document) -> Iterator[Fault]:
    hitter = table(document.content, "hitter")
    given = [key for key in ADULT_ZONE if key in hitter]
    level = hitter.get("level", table(document.content, "pitcher").get("level"))
    if not given or not isinstance(level, str) or level not in EYE_FACTOR:
        return  # nothing to hold against each other, or a fault of its own
    usual = {key: EYE_FACTOR[level] * feet for key, feet in ADULT_ZONE.items()}
    bottom, top = (hitter.get(key, feet) for key, feet in usual.items())
    if is_finite_number(bottom) and is_finite_number(top) and bottom >= top:
        where = document.where(("hitter", given[-1]))
        problem = f"the zone reaches from {shown(bottom)} ft up to {shown(top)} ft"
        yield Fault(where, problem, "a top above the bottom", "give zone_bottom_ft and zone_top_ft (or in m)")


def _shares(hitter: Mapping[str, Any], pitches: Mapping[str, Any]) -> Iterator[Fault]:
    expects = table(hitter, "expects")
    known = [name for name in pitches if isinstance(name, str)]
    for name, share in expects.items():
        if name not in pitches:
            where, allowed = key_path("hitter", "expects", name), ", ".join(shown(pitch) for pitch in known)
            problem = f"share {shown(share)} of a pitch that is not in the file"
            yield Fault(where, problem, allowed, did_you_mean(name, known) or "name a [pitch.NAME] of the file")
    values = list(expects.values())
    if "expects" in hitter and all(is_finite_number(value) for value in values):
        total = sum(values)
        if abs(total - 1.0) > SHARE_TOLERANCE:
            problem = f"the shares sum to {shown(float(total))}"
            yield Fault("hitter.expects", problem, "a sum of 1", "share out 1 among the pitches of the file")
