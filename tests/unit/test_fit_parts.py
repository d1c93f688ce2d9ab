"""Parts of the question `fit`: conversion, wording, roles, sessions, the file."""

import tomllib
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from latebreak.engine.errors import InputError
from latebreak.engine.inverse.fitted import Fitted, FittedPitch
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM
from latebreak.service.judging.estimates import Estimate
from latebreak.service.quantities import Reader, clock_face
from latebreak.service.questions.fitting.base import assume, read_base
from latebreak.service.questions.fitting.entry import entry_of
from latebreak.service.questions.fitting.identifiability import learned
from latebreak.service.questions.fitting.moved import moved
from latebreak.service.questions.fitting.observed_of import observed_of
from latebreak.service.questions.fitting.result import Change
from latebreak.service.questions.fitting.roles import find_roles
from latebreak.service.questions.fitting.scenario_text import scenario_text
from latebreak.service.questions.fitting.session_changes import measured_changes
from latebreak.service.questions.fitting.sessions import sessions_of
from latebreak.service.questions.fitting.trade import LEVER_KEYS, wrapped
from latebreak.service.questions.fitting.values import Known, known
from latebreak.service.scenario import load, parse
from latebreak.service.scenario.section import Hand
from latebreak.service.throws import Throws

BASE = read_base("two-grips", None, None)
RUBBER = 60.5 * FOOT
PRIOR = replace(assume(BASE, "curve_spike", "breaking").prior, levers=np.full(9, 6.0 * FOOT))  # extension 6 ft

#: What the engine may call undecidable (latebreak.engine.inverse.fitted), with a word that the sentence must hold.
UNDECIDABLE = {
    "agreement": "contradict each other",
    "gyro_sense": "which way the gyro spin turns",
    "efficiency": "how much of the spin bends the flight",
    "efficiency_or_lift_scale": "whether the axis is clean",
    "spin_rate": "the spin rate",
    "spin_rate_or_lift_scale": "spins fast or lifts more",
    "break_clock": "where the spin pushes",
    "lift_scale": "how much the ball lifts",
    "seam_force": "a push by the seams",
    "seam_force_along_break_clock": "along the break clock",
    "drag_coefficient": "how much the air slows",
    "launch": "where the pitch is thrown",
}


def throws_of(values: dict[str, list[float]], pitch: str = "curve", **how: object) -> Throws:
    n = len(next(iter(values.values())))
    columns = {key: np.array(column, dtype=float) for key, column in values.items()}
    return Throws("bullpen.csv", np.arange(n) + 2, (pitch,) * n, (None,) * n, (None,) * n, columns, **how)  # type: ignore[arg-type]


def fitted(**how: object) -> FittedPitch:
    """A curve of 12 throws, 78 mph, 2,500 rpm, 7:00, gyro 30 deg; errors of 1 % of the value."""
    si = np.array([78.0, 2500.0, 210.0, 30.0, -1.6, 5.9, 5.8, 1.0, -1.0]) * list(LEVER_KEYS.values())
    levers = tuple(Fitted(float(value), abs(float(value)) / 100.0, "measured") for value in si)
    pitch = FittedPitch(
        count=12,
        levers=levers,
        efficiency=Fitted(float(np.cos(30.0 * DEGREE)), 0.01, "measured"),
        gyro_sense_measured=False,
        aim=(Fitted(0.1, 0.05, "measured"), Fitted(0.6, 0.05, "measured")),
        spread=BASE.setting.pitches["curve_spike"].spread.standard_deviations,
        spread_error=0.2 * BASE.setting.pitches["curve_spike"].spread.standard_deviations,
        correlation=np.eye(9),
        spread_origin=("measured",) * 9,
        drag_coefficient=Fitted(0.345, 0.0, "assumed"),
        lift_scale=Fitted(1.0, 0.0, "assumed"),
        seam_force=Fitted(0.0, 0.0, "assumed"),
        seam_clock=None,
        undecidable=(),
    )
    return replace(pitch, **how)  # type: ignore[arg-type]


def known_of(name: str = "curve", **how: object) -> Known:
    return known(name, "breaking", "", "bullpen.csv", fitted(**how), assume(BASE, name, "breaking"))


# --- units and clock faces ------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("degrees", "face"),
    [
        (0.0, "12:00"),
        (359.9, "12:00"),
        (90.0, "3:00"),
        (212.5, "7:05"),
        (27.5, "12:55"),
        (-15.0, "11:30"),
        (360.0, "12:00"),
    ],
)
def test_clock_faces(degrees: float, face: str) -> None:
    assert clock_face(degrees) == face


@pytest.mark.parametrize(("degrees", "inside"), [(350.0, -10.0), (-350.0, 10.0), (180.0, -180.0), (30.0, 30.0)])
def test_angles_are_wrapped(degrees: float, inside: float) -> None:
    assert wrapped(degrees) == pytest.approx(inside)


def test_columns_become_si_units() -> None:
    throws = throws_of(
        {
            "speed_mph": [78.0, 80.0],
            "spin_rpm": [2500.0, np.nan],
            "break_clock_deg": [210.0, 212.0],
            "gyro_deg": [-30.0, 30.0],
            "efficiency_percent": [85.0, 87.0],
            "release_side_ft": [-1.5, -1.6],
            "arrival_side_ft": [0.5, 0.6],
            "arrival_height_ft": [2.0, 2.1],
            "arrival_speed_mph": [71.0, 72.0],
            "induced_side_break_in": [11.0, 12.0],
            "induced_vertical_break_in": [-15.0, -16.0],
        }
    )
    observed = observed_of(throws, np.array([True, False]), RUBBER, PRIOR)
    expected = [78.0 * MPH, 2500.0 * RPM, 210.0 * DEGREE, -30.0 * DEGREE, -1.5 * FOOT, *[np.nan] * 4]
    np.testing.assert_allclose(observed.levers[:, 0], expected, rtol=1e-12)
    np.testing.assert_allclose(observed.efficiency, [0.85])
    np.testing.assert_allclose(observed.arrival[:, 0], [0.5 * FOOT, 2.0 * FOOT])
    np.testing.assert_allclose(observed.arrival_speed, [71.0 * MPH])
    np.testing.assert_allclose(observed.induced[:, 0], [11.0 * INCH, -15.0 * INCH])


def test_nine_numbers_fill_gaps() -> None:
    """At the release itself the track's speed is |v0|: the reference plane is put there, 60.5 - 6 = 54.5 ft. To 0.1 %
    and half a centimetre, since a flight is no exact parabola.
    """
    numbers = {
        "x0_ft": -1.5, "y0_ft": 54.5, "z0_ft": 5.9, "vx0_ft_s": 3.0, "vy0_ft_s": -114.0, "vz0_ft_s": 4.0,
        "ax_ft_s2": 5.0, "ay_ft_s2": 20.0, "az_ft_s2": -40.0,
    }  # fmt: skip
    throws = throws_of({key: [value] for key, value in numbers.items()} | {"speed_mph": [np.nan]})
    observed = observed_of(throws, np.array([True]), RUBBER, PRIOR)
    assert observed.levers[0, 0] == pytest.approx(np.sqrt(3.0**2 + 114.0**2 + 4.0**2) * FOOT, rel=1e-3)
    assert observed.levers[5, 0] == pytest.approx(5.9 * FOOT, abs=0.005)
    assert np.isfinite(observed.arrival).all()


# --- roles ----------------------------------------------------------------------------------------------------------
STARTERS_FASTBALL = 90.4  # mph, of two-grips


def test_the_fastball_that_was_asked_for() -> None:
    roles = find_roles(BASE, {"heat": 91.0, "bender": 76.0}, "heat", "x.csv")
    assert (roles.fastball, roles.of) == ("heat", {"heat": "fastball", "bender": "breaking"})


@pytest.mark.parametrize("name", ["fastball", "Four-Seam", "my fastball", "SINKER"])
def test_the_fastball_by_its_name(name: str) -> None:
    roles = find_roles(BASE, {"curve": 77.0, name: 86.0, "change-up": 80.0}, None, "x.csv")
    assert roles.fastball == name
    assert roles.of == {"curve": "breaking", name: "fastball", "change-up": "offspeed"}
    assert roles.warnings == ()


def test_the_fastest_of_unknown_role_is_the_fastball_and_that_is_said() -> None:
    roles = find_roles(BASE, {"a": 77.0, "b": 0.95 * STARTERS_FASTBALL}, None, "x.csv")
    assert roles.fastball == "b"
    assert any("'b'" in warning and "--fastball" in warning for warning in roles.warnings)
    assert any("role of 'a'" in warning for warning in roles.warnings)


@pytest.mark.parametrize(
    "speeds", [{"a": 77.0, "b": 78.0}, {"a": float("nan"), "b": 79.0}, {"slider": 86.0, "b": 85.0}]
)
def test_no_curve_is_made_a_fastball(speeds: dict[str, float]) -> None:
    """Far slower than the base's fastball, or slower than a pitch that is known to be none."""
    assert find_roles(BASE, speeds, None, "x.csv").fastball is None


def test_an_unknown_fastball_is_a_fault() -> None:
    with pytest.raises(InputError, match=r"x\.csv: fastball: no throw is of a pitch 'fasball'.*did you mean fastball"):
        find_roles(BASE, {"fastball": 90.0}, "fasball", "x.csv")


# --- sessions -------------------------------------------------------------------------------------------------------
def test_sessions_keep_their_order() -> None:
    throws = replace(throws_of({"speed_mph": [1.0, 2.0, 3.0, 4.0]}), session=("may", "april", "may", None))
    found, warnings = sessions_of([throws])
    assert [(one.name, one.count) for one in found["curve"]] == [("may", 2), ("april", 1), ("", 1)]
    assert any("first and last" in warning for warning in warnings)


def test_two_files_are_two_sessions() -> None:
    first, second = (replace(throws_of({"speed_mph": [1.0, 2.0]}), source=f"{name}.csv") for name in ("may", "june"))
    found, warnings = sessions_of([replace(first, session=("a", "b")), second])
    assert [(one.name, one.count) for one in found["curve"]] == [("may", 2), ("june", 2)]
    assert any("taken together" in warning for warning in warnings)
    same, _ = sessions_of([first, first])
    assert [one.name for one in same["curve"]] == ["earlier", "later"]


# --- values and the file --------------------------------------------------------------------------------------------
def test_estimates_hold_the_error_and_keep_to_what_can_be() -> None:
    one = known_of(efficiency=Fitted(0.99, 0.02, "measured"))
    assert one.values["speed_mph"].low == pytest.approx(78.0 - 1.6448536 * 0.78)
    assert one.values["speed_mph"].high == pytest.approx(78.0 + 1.6448536 * 0.78)
    assert one.values["efficiency_percent"].high == 100.0
    assert one.values["speed_mph"].sampling_error == 0.0
    assert one.values["target_height_ft"].value == pytest.approx(0.6 / FOOT)
    assert all(estimate.low is None or estimate.low <= estimate.value for estimate in one.values.values())


def test_a_table_of_the_file() -> None:
    entry = entry_of(known_of(), BASE, reference=False)
    assert entry["speed_mph"] == 78.0
    assert entry["break_clock_deg"] == 210.0
    assert entry["efficiency_percent"] == pytest.approx(86.6, abs=0.01)  # cos 30 deg
    assert "gyro_sense" not in entry  # clockwise, as usual for a right-hander
    assert {"drag_coefficient", "lift_scale", "seam_force"}.isdisjoint(entry)  # the ball's own
    assert entry["mean_error"]["speed_mph"] == 0.78
    assert entry["mean_error"]["release_side_in"] == pytest.approx(0.192)  # 1 % of 1.6 ft
    assert "launch_elevation_deg" not in entry["mean_error"]  # it is aimed


def test_an_unusual_or_measured_sense_of_the_gyro_spin() -> None:
    levers = list(fitted().levers)
    levers[3] = Fitted(-30.0 * DEGREE, 0.02, "measured")
    reverse = entry_of(known_of(levers=tuple(levers)), BASE, reference=False)
    assert reverse["gyro_sense"] == "reverse"
    signed = entry_of(known_of(levers=tuple(levers), gyro_sense_measured=True), BASE, reference=False)
    assert signed["gyro_deg"] == -30.0
    assert "efficiency_percent" not in signed


def test_what_pins_the_lift_is_written() -> None:
    """Where movement told the efficiency, with a lift scale of 1, no other lift goes with it."""
    by_movement = entry_of(known_of(efficiency=Fitted(0.8, 0.02, "inferred")), BASE, reference=False)
    assert by_movement["lift_scale"] == 1.0
    assert by_movement["mean_error"]["lift_scale"] == 0.0
    measured = entry_of(known_of(lift_scale=Fitted(1.1, 0.03, "inferred")), BASE, reference=False)
    assert (measured["lift_scale"], measured["mean_error"]["lift_scale"]) == (1.1, 0.03)


def test_an_assumed_efficiency_is_not_taken_for_sure() -> None:
    """Of a pitch that the base doesn't have; one that it has brings its own errors along."""
    levers = list(fitted().levers)
    levers[3] = replace(levers[3], error=0.0, origin="assumed")
    new, old = (known_of(name, levers=tuple(levers)) for name in ("new", "curve_spike"))
    assert entry_of(new, BASE, reference=False)["mean_error"]["gyro_deg"] == 15.0
    of_base = BASE.scenario.pitch["curve_spike"].mean_error.gyro_deg
    assert entry_of(old, BASE, reference=False)["mean_error"]["gyro_deg"] == of_base


def test_an_assumed_spread_is_not_taken_for_sure() -> None:
    one = known_of(spread_origin=("measured",) * 8 + ("assumed",))
    entry = entry_of(one, BASE, reference=False)
    assert entry["spread_error"]["speed_mph"] == pytest.approx(0.2 * entry["spread"]["speed_mph"], abs=0.01)
    assert entry["spread_error"]["launch_azimuth_deg"] == pytest.approx(
        0.35 * entry["spread"]["launch_azimuth_deg"], abs=0.01
    )


def test_correlations_stay_possible_when_rounded() -> None:
    """A matrix of rank two, rounded to three digits, must still be one that a file may have."""
    rng = np.random.default_rng(3)
    for _ in range(20):
        factor = rng.standard_normal((9, 2))
        matrix = factor @ factor.T
        sd = np.sqrt(np.diag(matrix))
        entry = entry_of(known_of(correlation=matrix / np.outer(sd, sd)), BASE, reference=False)
        parse(scenario_text(_mapping({"curve": entry}), {}, "two-grips"))


def _mapping(pitches: dict[str, dict]) -> dict:
    entry = entry_of(known_of(), BASE, reference=False)
    return {"title": "t", **BASE.tables, "hitter": {}, "pitch": {"fastball": entry | {"role": "fastball"}, **pitches}}


def test_any_name_can_stand_in_the_file() -> None:
    names = ['curve "spike"', "a.b", "7:05 #1", "kurve ä", "x\\y", "= 1", "'"]
    one = known_of()
    entry = entry_of(one, BASE, reference=False)
    text = scenario_text(
        _mapping(dict.fromkeys(names, entry)), {name: replace(one, source='a"\n"b') for name in names}, "x"
    )
    assert list(parse(text).scenario.pitch)[1:] == names


def test_the_file_says_what_was_not_measured() -> None:
    levers = list(fitted().levers)
    levers[6] = Fitted(6.3 * FOOT, 0.0, "assumed")
    one = known_of(levers=tuple(levers), efficiency=Fitted(0.8, 0.02, "inferred"))
    text = scenario_text(_mapping({"curve": entry_of(one, BASE, reference=False)}), {"curve": one}, "two-grips")
    assert "extension_ft = 6.3 # assumed: the base's fastball" in text
    assert "break_clock_deg = 210.0 # 7:00" in text
    assert "# inferred" in text
    assert "# From 12 throws in 'bullpen.csv'." in text
    assert "# Not among the throws" in text  # the fastball
    assert tomllib.loads(text)["air"] == dict(load_tables("two-grips"))["air"]


def load_tables(name: str) -> dict:
    from latebreak.service.scenario.ready import ready_path

    path = ready_path(name)
    assert path is not None
    return tomllib.loads(path.read_text(encoding="utf-8"))


def test_a_base_without_a_file_keeps_its_tables() -> None:
    """Written out and read again, it is the same scenario."""
    from_file, from_object = read_base("staff", 3, 500), read_base(load("staff").scenario, 3, 500)
    entry = entry_of(known_of(), BASE, reference=False)
    pitches = {
        name: entry | {"role": "fastball" if name == "four_seam" else "breaking"} for name in from_file.scenario.pitch
    }
    of_file, of_object = (
        parse(scenario_text({"title": "t", **base.tables, "pitch": pitches}, {}, "x")).scenario
        for base in (from_file, from_object)
    )
    assert of_file == of_object
    assert of_file.hitter == from_file.scenario.hitter


# --- words ----------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("word", "said"), UNDECIDABLE.items())
def test_what_is_undecidable_is_said(word: str, said: str) -> None:
    sentences = learned(known_of(undecidable=(word,)))
    assert any(said in sentence and sentence.startswith("Not told") for sentence in sentences)
    assert not any("_scale" in sentence or "gyro_sense" in sentence for sentence in sentences)


def test_every_undecidable_word_of_the_engine_is_known() -> None:
    listed = (FittedPitch.__doc__ or "").split("in this order:")[1]
    assert set(UNDECIDABLE) == {line.split('"')[1] for line in listed.splitlines() if line.strip().startswith("-")}


@pytest.mark.parametrize(
    ("value", "error", "said"),
    [
        (0.05, 0.01, "a seam-made force of 0.050"),
        (0.04, 0.02, "no seam-made force"),
        (0.012, 0.001, "no seam-made force"),
    ],
)
def test_a_seam_made_force_beyond_chance(value: float, error: float, said: str) -> None:
    one = known_of(seam_force=Fitted(value, error, "inferred"), seam_clock=120.0 * DEGREE)
    assert any(said in sentence and "4:00" in sentence for sentence in learned(one))


def test_few_throws_are_said() -> None:
    assert any("One throw tells nothing about the spread" in sentence for sentence in learned(known_of(count=1)))
    assert any("3 throws tell little" in sentence for sentence in learned(known_of(count=3)))
    assert not any("tell little" in sentence for sentence in learned(known_of()))


def test_changes_carry_both_errors() -> None:
    levers = list(fitted().levers)
    levers[0] = Fitted(79.0 * MPH, 1.04 * MPH, "measured")  # 1 mph faster; errors 0.78 and 1.04: together 1.3
    changes = measured_changes(known_of(), known_of(levers=tuple(levers)))
    change = changes["speed_mph"]
    assert change.estimate.value == pytest.approx(1.0)
    assert change.estimate.high == pytest.approx(1.0 + 1.6448536 * 1.3)
    assert change.chance_percent == pytest.approx(77.9, abs=0.1)  # Phi(1 / 1.3), table of the normal distribution
    assert "lift_scale" not in changes  # assumed both times
    assert changes["spin_rpm"].chance_percent == 50.0


def test_a_clock_turns_the_short_way() -> None:
    def at(degrees: float) -> Known:
        levers = list(fitted().levers)
        levers[2] = Fitted(degrees * DEGREE, 2.0 * DEGREE, "measured")
        return known_of(levers=tuple(levers))

    change = measured_changes(at(355.0), at(5.0))["break_clock_deg"]
    assert change.estimate.value == pytest.approx(10.0)
    words = moved({"break_clock_deg": change}, at(5.0).values, Reader())
    assert words[0].startswith("Break clock turned clockwise by 10 deg (90 %: ")
    assert words[0].endswith("), 11:50 to 12:10.")


def test_a_seam_made_force_that_turned_round_is_a_change() -> None:
    """0.03 toward 1:00 and 0.03 toward 7:00 differ by 0.06, though their sizes are equal."""
    force = Fitted(0.03, 0.01, "inferred")
    here, there = (known_of(seam_force=force, seam_clock=clock * DEGREE) for clock in (30.0, 210.0))
    assert measured_changes(here, there)["seam_force"].estimate.value == pytest.approx(0.06)
    assert measured_changes(here, here)["seam_force"].estimate.value == pytest.approx(0.0)


@pytest.mark.parametrize(
    ("key", "value", "hand", "said"),
    [
        ("speed_mph", 0.8, "right", "Faster by 0.8 mph (90 %: 0.6 to 1.0; chance over 99 %)."),
        ("speed_mph", -0.8, "right", "Slower by 0.8 mph (90 %: 0.6 to 1.0; chance over 99 %)."),
        ("release_side_ft", 0.5, "right", "Released farther to the glove side by 6.0 in"),
        ("release_side_ft", 0.5, "left", "Released farther to the arm side by 6.0 in"),
        ("target_side_ft", -0.5, "left", "Arrives farther to the glove side by 6.0 in"),
        ("efficiency_percent", 5.0, "right", "Cleaner axis by 5 points of efficiency"),
        ("spread.break_clock_deg", -2.0, "right", "Break clock varies less by 2.0 deg"),
        ("tunnel_exit_ft", -1.5, "right", "Leaves the fastball's tunnel later by 1.5 ft"),
        ("tunnel_exit_ft", 1.5, "left", "Leaves the fastball's tunnel sooner by 1.5 ft"),
        ("miss_chance_percent", 3.0, "right", "Missed more by 3.0 points of swings"),
        ("late_break_in", -0.4, "right", "Less late break by 0.4 in"),
    ],
)  # fmt: skip
def test_changes_in_words(key: str, value: float, hand: Hand, said: str) -> None:
    change = Change(Estimate(value, 0.0, value - 0.2, value + 0.2), 99.9)
    one = known_of()
    assert moved({key: change}, one.values, Reader(hand=hand))[0].startswith(said)


def test_a_change_within_chance_is_none() -> None:
    one = known_of()
    estimate = Estimate(0.3, 0.0, -0.1, 0.7)
    changes = {
        "speed_mph": Change(estimate, 79.9),
        "spin_rpm": Change(estimate, 85.0),
        "spread.gyro_deg": Change(estimate, 60.0),
        "gyro_deg": Change(estimate, 99.0),  # said by the efficiency
    }
    perhaps, none = moved(changes, one.values, Reader())
    assert perhaps == "Perhaps: more spin by 0 rpm (90 %: 0 to 1; chance 85 %)."
    assert none == "No change beyond chance: speed, spread of gyro angle."


def test_doubts_grow_with_the_error() -> None:
    """A monotone law: the same change is less sure the larger its errors are."""
    chances = []
    for error in (0.1, 0.5, 1.0, 3.0):
        levers = list(fitted().levers)
        levers[0] = Fitted(79.0 * MPH, error * MPH, "measured")
        chances.append(measured_changes(known_of(), known_of(levers=tuple(levers)))["speed_mph"].chance_percent)
    assert all(more > less for more, less in pairwise(chances))
