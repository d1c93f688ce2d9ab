"""Key paths of a sweep: which key is meant, and what it takes the place of."""

import pytest

from latebreak.engine.errors import InputError
from latebreak.service.sweep.key_paths import conflicts, locate, parse, resolve

SCENARIO = {
    "pitcher": {"hand": "right", "level": "college"},
    "pitch": {"fastball": {"role": "fastball"}, "curve": {}, "slow curve.2": {}},
}


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ("seed", ("seed",)),
        ("pitch.curve.spread.speed_mph", ("pitch", "curve", "spread", "speed_mph")),
        ('pitch."slow curve.2".speed_mph', ("pitch", "slow curve.2", "speed_mph")),
        ('pitch.curve.correlation."speed_mph:spin_rpm"', ("pitch", "curve", "correlation", "speed_mph:spin_rpm")),
        ("pitch.slow curve.speed_mph", None),
        ("pitch..speed_mph", None),
        ("seed = 1\nthrows", None),
        ("", None),
        ("a." * 200 + "a", None),
    ],
)
def test_a_path_is_written_as_in_toml(text: str, path: tuple[str, ...] | None) -> None:
    assert parse(text) == path


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("title", "text"),
        ("throws", "number"),
        ("air.altitude_ft", "number"),
        ("field.rubber_to_plate_ft", "number"),
        ("pitcher.hand", "text"),
        ("pitch.fastball.reference", "flag"),
        ("pitch.curve.break_clock", "clock"),
        ("pitch.curve.break_clock_deg", "number"),
        ("pitch.curve.seam_force_clock", "clock"),
        ("pitch.curve.spread.break_clock_deg", "number"),
        ("pitch.curve.mean_error.lift_scale", "number"),
        ('pitch."slow curve.2".speed_kmh', "number"),
        ('pitch.curve.correlation."speed_mph:spin_rpm"', "number"),
        ("hitter.familiarity", "number"),
        ("hitter.expects.curve", "number"),
    ],
)
def test_what_a_key_holds(text: str, kind: str) -> None:
    assert resolve(text, SCENARIO).kind == kind


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("pitch.curve.sped_mph", ["pitch.curve.sped_mph", "unknown key", "did you mean speed_mph"]),
        ("pitch.crve.speed_mph", ["pitch.crve.speed_mph", "no pitch 'crve'", "did you mean curve"]),
        ("hitter.expects.crve", ["hitter.expects.crve", "no pitch 'crve'", "did you mean curve"]),
        ("pitcher.speed_mph", ["unknown key", "belongs in [pitch.NAME]"]),
        ("pitch.curve.release_side_mm", ["did you mean release_side_ft"]),
        ("weather.temperature_c", ["weather", "unknown key"]),
        ("pitch", ["it is a table"]),
        ("pitch.curve", ["it is a table", "speed_mph"]),
        ("pitch.curve.spread", ["it is a table", "spin_rpm"]),
        ("hitter.expects", ["it is a table"]),
        ("pitch.curve.speed_mph.mean", ["it holds a value", "pitch.curve.speed_mph"]),
        ("hitter.expects.curve.share", ["it is a table"]),
        ('pitch.curve.correlation."speed_mph:spun_rpm"', ["does not name two quantities", "spin_rpm"]),
        ("my key", ["'my key' is not a key path"]),
        ("pitch.\x1b[2J", ["\\x1b"]),
    ],
)
def test_no_such_key(text: str, words: list[str]) -> None:
    with pytest.raises(InputError) as found:
        resolve(text, SCENARIO)
    assert len(found.value.faults) == 1
    assert all(word in str(found.value) for word in words), str(found.value)


@pytest.mark.parametrize(
    ("text", "replaced"),
    [
        ("pitch.curve.speed_mph", {"speed_kmh"}),
        ("pitch.curve.speed_kmh", {"speed_mph"}),
        ("pitch.curve.break_clock", {"break_clock_deg"}),
        ("pitch.curve.spin_rpm", set()),
        ("pitch.curve.gyro_deg", {"efficiency_percent", "gyro_sense"}),
        ("pitch.curve.efficiency_percent", {"gyro_deg"}),
        (
            "pitch.curve.target_height_m",
            {"target_height_ft", "launch_elevation_deg", "launch_azimuth_deg"},
        ),
        (
            "pitch.curve.launch_azimuth_deg",
            {"target_height_ft", "target_height_m", "target_side_ft", "target_side_m"},
        ),
        ("air.altitude_ft", {"altitude_m", "pressure_hpa", "density_kg_m3"}),
        ("air.pressure_hpa", {"altitude_m", "altitude_ft", "density_kg_m3"}),
        ("air.humidity_percent", {"density_kg_m3"}),
        (
            "air.density_kg_m3",
            {"temperature_c", "temperature_f", "humidity_percent", "altitude_m", "altitude_ft", "pressure_hpa"},
        ),
        ("pitch.curve.spread.speed_mph", {"speed_kmh"}),
        ("hitter.expects.curve", set()),
        ('pitch.curve.correlation."speed_mph:spin_rpm"', {"spin_rpm:speed_mph"}),
    ],
)
def test_what_a_key_replaces(text: str, replaced: set[str]) -> None:
    key = locate(text)
    assert key.rivals == {(*key.path[:-1], name) for name in replaced}


def test_replacing_goes_both_ways() -> None:
    """Else the order in which two keys are set would matter."""
    for table in ("air", "pitch.curve", "pitch.curve.spread", "ball", "field", "hitter"):
        section = locate(f"{table}.{'spin_rpm' if table.startswith('pitch') else next(iter(_keys(table)))}").section
        assert section is not None
        for key in (name for name in section.keys() if not _is_table(table, name)):  # noqa: SIM118
            for rival in locate(f"{table}.{key}").rivals:
                assert locate(f"{table}.{key}").path in locate(f"{table}.{rival[-1]}").rivals


def _keys(table: str) -> list[str]:
    return {"air": ["altitude_m"], "ball": ["mass_oz"], "field": ["rubber_to_plate_ft"], "hitter": ["bats"]}[table]


def _is_table(table: str, name: str) -> bool:
    try:
        locate(f"{table}.{name}")
    except InputError:
        return True
    return False


def test_keys_that_can_not_be_set_together() -> None:
    assert conflicts(["pitch.curve.speed_mph", "pitch.fastball.speed_kmh", "air.altitude_m"]) == []
    found = conflicts(["air.altitude_m", "air.pressure_hpa", "air.temperature_c", "air.altitude_m"])
    assert [(fault.where, fault.problem) for fault in found] == [
        ("air.pressure_hpa", "air.altitude_m and air.pressure_hpa say the same thing or exclude each other"),
        ("air.altitude_m", "it is swept twice"),
        ("air.altitude_m", "air.pressure_hpa and air.altitude_m say the same thing or exclude each other"),
    ]
