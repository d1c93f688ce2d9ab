"""The inverse problem: what was put into simulated throws comes out, or is said to be undecidable."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from simulated_throws import AIR, CLOCK, GYRO, HIDDEN, PITCHES, SPREAD, bullpen, every, hidden, pitch, prior, with_noise

from latebreak.engine.air.ball import Conditions
from latebreak.engine.inverse.fitted import DRAG_REFERENCE, FittedPitch
from latebreak.engine.inverse.observed import Observed, unobserved
from latebreak.engine.inverse.sample import Z95
from latebreak.engine.inverse.solving import fit_pitch
from latebreak.engine.pitch.pitch import LEVERS
from latebreak.engine.units import DEGREE, FOOT, INCH, RPM

EXTENSION, SPEED, SIDE, HEIGHT = LEVERS.index("extension"), 0, 4, 5


def balanced(count: int = 40) -> np.ndarray:
    """Normal draws (9, count) with means exactly 0, variances 1 and correlations 0, so that means come out exactly."""
    z = np.random.default_rng(8).standard_normal((9, count))
    z -= z.mean(axis=1, keepdims=True)
    return np.linalg.solve(np.linalg.cholesky(np.cov(z)), z)


@cache
def thrown(name: str) -> Observed:
    return bullpen(PITCHES[name]).thrown(balanced())


@cache
def fitted(name: str, case: str) -> FittedPitch:
    return fit_pitch(hidden(thrown(name), HIDDEN[case]), AIR, prior(PITCHES[name]))


def turned(angle: float) -> float:
    return (angle + np.pi) % (2.0 * np.pi) - np.pi


# --- exact throws: every measurement case gives the truth back ---

# Bounds are what the method neglects: C_L is not linear in the gyro angle and in the clock, and where these are not
# known throw by throw the scatter about their mean is kept to second order only.
TELLS_LIFT = ("all", "efficiency, no launch", "no clock", "movement from launch and arrival")
TELLS_SEAM = (
    "all",
    "efficiency, no launch",
    "no efficiency",
    "movement from launch and arrival",
    "no spin rate",
)
#: Without a clock a seam-made force is taken for spin: see the test of that.
TOLD = [(name, case) for name in PITCHES for case in HIDDEN if name != "pushed by seams" or CLOCK not in HIDDEN[case]]
WITHOUT_SEAMS = [name for name in PITCHES if name != "pushed by seams"]


@pytest.mark.parametrize(("name", "case"), TOLD)
def test_what_was_put_in_comes_out(name: str, case: str) -> None:
    truth, fit = PITCHES[name], fitted(name, case)
    value = {lever: f.value for lever, f in zip(LEVERS, fit.levers, strict=True)}
    for lever in ("speed", "release_side", "release_height", "extension"):
        assert value[lever] == pytest.approx(getattr(truth, lever), rel=1e-9)
    assert turned(value["break_clock"] - truth.break_clock) == pytest.approx(0.0, abs=0.5 * DEGREE)
    assert value["spin_rate"] == pytest.approx(truth.spin_rate, rel=0.01 if case == "no spin rate" else 1e-9)
    assert fit.efficiency.value == pytest.approx(abs(np.cos(truth.gyro)), abs=0.004)
    # at 14 degrees 0.004 of efficiency is 1 degree
    assert value["gyro"] == pytest.approx(truth.gyro, abs=1.0 * DEGREE)
    assert fit.drag_coefficient.value == pytest.approx(0.345, abs=0.0005)
    assert fit.lift_scale.value == pytest.approx(1.0, abs=0.005 if case in TELLS_LIFT else 0.0)
    assert (fit.lift_scale.origin == "inferred") == (case in TELLS_LIFT)
    assert (fit.seam_clock is not None) == (case in TELLS_SEAM)
    assert fit.seam_force.value == pytest.approx(truth.seam_force, abs=0.0015 if case in TELLS_SEAM else 0.06)
    if truth.seam_force > 0.0 and fit.seam_clock is not None:
        assert turned(fit.seam_clock - truth.seam_clock) == pytest.approx(0.0, abs=0.5 * DEGREE)
    # Launch angles: 0.03 degrees are 0.3 in at the plate. Without movement the seam-made force is not seen, and the
    # launch aims past it.
    if case != "no movement" or truth.seam_force == 0.0:
        mean = bullpen(truth).mean
        assert value["launch_elevation"] == pytest.approx(mean[7], abs=0.03 * DEGREE)
        assert value["launch_azimuth"] == pytest.approx(mean[8], abs=0.03 * DEGREE)
    assert fit.aim is not None
    # the mean of the arrivals is not quite the arrival of the mean pitch: 1 in of the scattered break curves away
    assert fit.aim[0].value == pytest.approx(0.2 * FOOT, abs=1.0 * INCH)
    assert fit.aim[1].value == pytest.approx(2.3 * FOOT, abs=1.0 * INCH)


@pytest.mark.parametrize("case", HIDDEN)
@pytest.mark.parametrize("name", WITHOUT_SEAMS)
def test_spread_comes_out(name: str, case: str) -> None:
    # The prior is right here. Launch angles and, in most cases, gyro and clock are solved throw by throw.
    fit = fitted(name, case)
    # (a spin rate inferred from movement scatters with the gyro angle, where single gyro angles are not known)
    known = np.arange(9) != (1 if case == "no spin rate" else -1)
    np.testing.assert_allclose(fit.spread[known], SPREAD[known], rtol=0.06)
    off_diagonal = fit.correlation - np.eye(9)
    # nothing is correlated; inferred values share what they are inferred from
    assert np.abs(off_diagonal).max() < 0.3
    fold = abs(PITCHES[name].gyro) < 3.0 * SPREAD[GYRO]
    assert fit.spread_origin[GYRO] == (
        "measured"
        if case == "all"
        else "assumed"
        if fold
        else "inferred"
        if "efficiency" in HIDDEN[case]
        else "measured"
    )
    assert fit.spread_origin[CLOCK] == ("inferred" if CLOCK in HIDDEN[case] else "measured")


def test_correlation_comes_out() -> None:
    # Speed and spin rate 0.6, launch elevation against the clock -0.5, the last solved from the arrivals.
    correlation = np.eye(9)
    correlation[0, 1] = correlation[1, 0] = 0.6
    correlation[2, 7] = correlation[7, 2] = -0.5
    truth = PITCHES["curve"]
    truth = replace(truth, spread=replace(truth.spread, correlation=correlation))
    observed = hidden(bullpen(truth).thrown(balanced(200)), HIDDEN["efficiency, no launch"])
    fit = fit_pitch(observed, AIR, prior(truth))
    np.testing.assert_allclose(fit.correlation, correlation, atol=0.05)
    assert np.linalg.eigvalsh(fit.correlation)[0] > -1e-12


@pytest.mark.parametrize(
    "conditions",
    [
        Conditions(air_density=1.0, wind_to_plate=-3.0, wind_to_right=2.0),
        Conditions(air_density=1.19, rubber_to_plate=46.0 * FOOT),
        Conditions(air_density=1.19, lift_law="piecewise_lift", drag_law="falling_drag"),
        Conditions(air_density=1.19, lift_law="power_lift"),
    ],
    ids=["wind and thin air", "youth field", "piecewise lift, falling drag", "power lift"],
)
def test_conditions_are_flown(conditions: Conditions) -> None:
    truth = pitch(75.0, 2300.0, 215.0, 35.0, lift_scale=1.12, drag_scale=0.95, seam_force=0.02, seam_clock=305.0)
    observed = bullpen(truth, conditions).thrown(balanced())
    fit = fit_pitch(hidden(observed, HIDDEN["efficiency, no launch"]), conditions, prior(truth))
    assert fit.lift_scale.value == pytest.approx(1.12, rel=0.005)
    assert fit.seam_force.value == pytest.approx(0.02, abs=0.001)
    assert fit.seam_clock == pytest.approx(305.0 * DEGREE, abs=0.5 * DEGREE)
    coefficient = 0.95 * drag_at_reference(conditions)
    assert fit.drag_coefficient.value == pytest.approx(coefficient, rel=0.002)


def drag_at_reference(conditions: Conditions) -> float:
    from latebreak.engine.laws.registry import force_law

    return float(force_law(conditions.drag_law).function(*np.array(DRAG_REFERENCE)[:, None])[0])


# --- what can and what can't be told apart ---


def test_clean_and_gyro_heavy_of_equal_movement_are_told_apart_only_by_efficiency() -> None:
    # A ball that spins cleanly, and one of the same spin rate at 45 degrees of gyro whose lift scale makes up for it.
    clean = pitch(80.0, 2400.0, 210.0, 0.0)
    z = balanced() * 1e-6  # throws without scatter
    movement = bullpen(clean).thrown(z).induced.mean(axis=1)
    scales = np.linspace(1.0, 1.6, 13)
    heavy = [pitch(80.0, 2400.0, 210.0, 45.0, lift_scale=float(s)) for s in scales]
    sizes = [np.hypot(*bullpen(p).thrown(z).induced.mean(axis=1)) for p in heavy]
    scale = float(np.interp(np.hypot(*movement), sizes, scales))
    heavy_pitch = pitch(80.0, 2400.0, 210.0, 45.0, lift_scale=scale)

    fits = {}
    for name, truth in (("clean", clean), ("heavy", heavy_pitch)):
        observed = bullpen(truth).thrown(z)
        assert np.hypot(*observed.induced.mean(axis=1)) == pytest.approx(np.hypot(*movement), abs=0.02 * INCH)
        tight = prior(truth, SPREAD * 1e-3)
        fits[name] = {
            case: fit_pitch(hidden(observed, HIDDEN[case]), AIR, replace(tight, hand_sense=1.0))
            for case in ("efficiency, no launch", "no efficiency")
        }
    measured = {name: fits[name]["efficiency, no launch"] for name in fits}
    assert measured["clean"].efficiency.value == pytest.approx(1.0, abs=0.001)
    assert measured["clean"].lift_scale.value == pytest.approx(1.0, abs=0.003)
    assert measured["heavy"].efficiency.value == pytest.approx(np.sqrt(0.5), abs=0.001)
    assert measured["heavy"].lift_scale.value == pytest.approx(scale, abs=0.003)
    unmeasured = {name: fits[name]["no efficiency"] for name in fits}
    assert unmeasured["heavy"].efficiency.value == pytest.approx(unmeasured["clean"].efficiency.value, abs=0.005)
    for fit in unmeasured.values():
        assert "efficiency_or_lift_scale" in fit.undecidable
        assert "gyro_sense" in fit.undecidable
    for fit in measured.values():
        assert "efficiency_or_lift_scale" not in fit.undecidable
        assert "lift_scale" not in fit.undecidable


def test_seam_force_is_not_an_efficiency_error() -> None:
    # 20 noisy throws; the same pitch with a seam-made force across the clock, or with spin that bends the flight less.
    rng = np.random.default_rng(21)
    plain = pitch(86.0, 2200.0, 60.0, 25.0)
    seams = replace(plain, seam_force=0.05, seam_clock=150.0 * DEGREE)
    weak = replace(plain, lift_scale=0.8)
    fits = {
        name: fit_pitch(
            hidden(with_noise(bullpen(truth).thrown(balanced(20)), rng), HIDDEN["efficiency, no launch"]),
            AIR,
            prior(truth),
        )
        for name, truth in (("plain", plain), ("seams", seams), ("weak", weak))
    }
    # 3 standard errors each way: signs of life where there is a force, none where there is none
    seam = {name: fit.seam_force for name, fit in fits.items()}
    assert seam["seams"].value > 3.0 * seam["seams"].error
    assert abs(seam["seams"].value - 0.05) < 3.0 * seam["seams"].error
    assert seam["plain"].value < 3.0 * seam["plain"].error
    assert seam["weak"].value < 3.0 * seam["weak"].error
    lift = {name: fit.lift_scale for name, fit in fits.items()}
    assert abs(lift["seams"].value - 1.0) < 3.0 * lift["seams"].error
    assert abs(lift["weak"].value - 0.8) < 3.0 * lift["weak"].error
    assert lift["weak"].value < 1.0 - 3.0 * lift["weak"].error
    for fit in fits.values():
        assert "seam_force" not in fit.undecidable
        assert "seam_force_along_break_clock" in fit.undecidable


def test_without_a_clock_a_seam_force_is_taken_for_spin_and_that_is_said() -> None:
    fit = fitted("pushed by seams", "no clock")
    assert "seam_force" in fit.undecidable
    assert fit.seam_clock is None
    assert (fit.seam_force.value, fit.seam_force.error, fit.seam_force.origin) == (0.0, 0.0, "assumed")
    assert fit.levers[CLOCK].origin == "inferred"
    # C_S = 0.05 across C_L = 0.2: the push turns by some 14 degrees
    assert turned(fit.levers[CLOCK].value - 60.0 * DEGREE) == pytest.approx(15.0 * DEGREE, abs=4.0 * DEGREE)


def test_reversed_gyro_is_seen_only_with_its_sense() -> None:
    truth = pitch(84.0, 1700.0, 90.0, -30.0)
    observed = bullpen(truth).thrown(balanced())
    expects = replace(prior(truth), hand_sense=1.0)
    signed = fit_pitch(observed, AIR, expects)
    assert signed.gyro_sense_measured
    assert signed.levers[GYRO].value == pytest.approx(-30.0 * DEGREE, abs=0.1 * DEGREE)
    assert "gyro_sense" not in signed.undecidable
    unsigned = fit_pitch(hidden(observed, (GYRO,)), AIR, expects)
    assert unsigned.levers[GYRO].value == pytest.approx(30.0 * DEGREE, abs=0.3 * DEGREE)
    assert "gyro_sense" in unsigned.undecidable


def test_more_movement_than_clean_spin_makes_raises_the_lift_scale() -> None:
    truth = pitch(92.0, 2300.0, 20.0, 5.0, lift_scale=1.3)
    fit = fit_pitch(hidden(bullpen(truth).thrown(balanced()), HIDDEN["no efficiency"]), AIR, prior(truth))
    assert fit.efficiency.value == 1.0
    assert fit.efficiency.origin == "inferred"
    assert fit.lift_scale.value == pytest.approx(1.3, rel=0.02)
    assert "efficiency_or_lift_scale" in fit.undecidable


def test_clean_axis_is_not_pushed_away_from_zero_gyro() -> None:
    # Efficiencies of an axis at exactly 0 degrees: all below 1, their mean 0.992. What is above that is scatter.
    truth = pitch(92.0, 2300.0, 20.0, 0.0)
    observed = bullpen(truth).thrown(balanced())
    assert observed.efficiency.mean() < 0.994
    fit = fit_pitch(hidden(observed, HIDDEN["efficiency, no launch"]), AIR, prior(truth))
    # 0.001 of efficiency, what cos(s) neglects of the fourth order, is 2.6 degrees
    assert fit.efficiency.value == pytest.approx(1.0, abs=0.001)
    assert abs(fit.levers[GYRO].value) < 2.6 * DEGREE
    assert abs(fit.levers[GYRO].value) + Z95 * fit.levers[GYRO].error < 15.0 * DEGREE


def test_little_movement_tells_no_lift_scale() -> None:
    # 250 rpm, nearly all of it along the flight: less than an inch of movement. Whatever the lift scale is, it does not
    # show; a seam-made force would.
    truth = pitch(86.0, 250.0, 300.0, 80.0)
    deviations = SPREAD * np.where(np.arange(9) == GYRO, 0.0, 1.0)
    throws = bullpen(replace(truth, spread=replace(truth.spread, standard_deviations=deviations))).thrown(balanced())
    assert np.hypot(*throws.induced.mean(axis=1)) < 1.0 * INCH
    fit = fit_pitch(hidden(throws, HIDDEN["efficiency, no launch"]), AIR, prior(truth))
    assert (fit.lift_scale.value, fit.lift_scale.origin) == (1.0, "assumed")
    assert "lift_scale" in fit.undecidable
    assert fit.seam_force.value == pytest.approx(0.0, abs=0.001)
    assert fit.seam_clock is not None


# --- gaps ---


def test_random_gaps() -> None:
    # A third of all cells missing, at random: everything that was told before is told, with wider errors.
    truth = PITCHES["pushed by seams"]
    whole = hidden(bullpen(truth).thrown(balanced(60)), HIDDEN["efficiency, no launch"])
    rng = np.random.default_rng(9)

    def gaps(x: np.ndarray) -> np.ndarray:
        return np.where(rng.random(x.shape) < 1.0 / 3.0, np.nan, x)

    full, fit = (fit_pitch(o, AIR, prior(truth)) for o in (whole, every(whole, gaps)))
    assert fit.undecidable == full.undecidable
    for lever, gapped, complete in zip(LEVERS, fit.levers, full.levers, strict=True):
        assert abs(turned(gapped.value - complete.value)) < 3.0 * gapped.error, lever
        assert gapped.error > 0.9 * complete.error
    for name in ("lift_scale", "seam_force", "drag_coefficient", "efficiency"):
        gapped, complete = getattr(fit, name), getattr(full, name)
        assert abs(gapped.value - complete.value) < 3.0 * gapped.error, name
    assert np.linalg.eigvalsh(fit.correlation)[0] > -1e-12


def test_a_single_value_in_a_column_does_not_spoil_the_others() -> None:
    o = with_noise(thrown("curve"), np.random.default_rng(1))
    lonely = replace(o, arrival_speed=np.where(np.arange(40) == 3, o.arrival_speed, np.nan))
    whole, fit = (
        fit_pitch(hidden(x, HIDDEN["efficiency, no launch"]), AIR, prior(PITCHES["curve"])) for x in (o, lonely)
    )
    assert fit.lift_scale.error == pytest.approx(whole.lift_scale.error, rel=0.1)
    # C_D from one throw: its usual scatter of 0.03, times Student's factor for 4 degrees of freedom, 1.296
    assert fit.drag_coefficient.error == pytest.approx(0.03 * 1.296, rel=0.01)
    assert whole.drag_coefficient.error < fit.drag_coefficient.error / 4.0


@pytest.mark.parametrize(("name", "told"), [("fastball", True), ("slider", False), ("pushed by seams", False)])
def test_only_vertical_movement(name: str, told: bool) -> None:
    # At 12:44 it tells the efficiency (and nothing across the clock); at 10:00 and 2:00 only half of the push shows.
    o, usual = thrown(name), prior(PITCHES[name])
    o = hidden(replace(o, induced=o.induced * np.array([[np.nan], [1.0]])), (*HIDDEN["no efficiency"], "arrival"))
    fit = fit_pitch(o, AIR, replace(usual, levers=np.where(np.arange(9) == GYRO, 0.2, np.nan)))
    assert fit.efficiency.origin == ("inferred" if told else "assumed")
    if told:
        assert fit.efficiency.value == pytest.approx(abs(np.cos(PITCHES[name].gyro)), abs=0.004)
    assert "seam_force" in fit.undecidable
    assert fit.seam_clock is None


def test_nothing_but_release_speeds() -> None:
    o = unobserved(7)
    o.levers[SPEED] = np.linspace(38.0, 40.0, 7)
    truth = PITCHES["fastball"]
    levers = np.array([np.nan, 240.0, 0.4, 0.2, -0.5, 1.8, 1.9, np.nan, np.nan])
    fit = fit_pitch(o, AIR, replace(prior(truth), levers=levers))
    assert fit.levers[SPEED].value == pytest.approx(39.0)
    assert [f.origin for f in fit.levers] == ["measured", *["assumed"] * 8]
    np.testing.assert_allclose([f.value for f in fit.levers[1:7]], levers[1:7])
    assert all(f.error == 0.0 for f in fit.levers[1:])
    assert fit.aim is None
    words = "gyro_sense efficiency spin_rate break_clock lift_scale seam_force drag_coefficient launch"
    assert fit.undecidable == tuple(words.split())
    np.testing.assert_allclose(fit.spread[1:], SPREAD[1:])
    assert fit.spread_origin == ("measured", *["assumed"] * 8)


def test_one_throw() -> None:
    one = every(with_noise(thrown("curve"), np.random.default_rng(3)), lambda x: x[..., :1])
    fit = fit_pitch(hidden(one, HIDDEN["efficiency, no launch"]), AIR, prior(PITCHES["curve"]))
    assert fit.count == 1
    np.testing.assert_allclose(fit.spread, SPREAD)
    np.testing.assert_array_equal(fit.correlation, np.eye(9))
    assert set(fit.spread_origin) == {"assumed"}
    # the prior's spread alone, with Student's factor for its weight of 4 throws
    assert fit.levers[SPEED].error == pytest.approx(SPREAD[0] * 1.296, rel=1e-3)
    for f in (*fit.levers, fit.efficiency, fit.lift_scale, fit.seam_force, fit.drag_coefficient):
        assert np.isfinite([f.value, f.error]).all()
        assert f.error > 0.0


def test_two_equal_throws() -> None:
    # No scatter at all: the prior's keeps the errors alive.
    two = every(thrown("fastball"), lambda x: np.repeat(x[..., :1], 2, axis=-1))
    fit = fit_pitch(hidden(two, HIDDEN["no efficiency"]), AIR, prior(PITCHES["fastball"]))
    for f in (*fit.levers, fit.efficiency, fit.seam_force, fit.drag_coefficient):
        assert np.isfinite([f.value, f.error]).all()
        assert f.error > 0.0


def test_movement_against_the_measured_spin_is_said() -> None:
    """Spin that pushes down and movement that goes up: no lift scale makes one of the other."""
    throws = thrown("curve")
    assert "agreement" not in fitted("curve", "all").undecidable
    against = fit_pitch(replace(throws, induced=-throws.induced), AIR, prior(PITCHES["curve"]))
    assert "agreement" in against.undecidable
    assert np.isfinite([lever.value for lever in against.levers]).all()
    assert against.lift_scale.value > 0.0


def test_throw_that_never_arrives_is_data() -> None:
    # A lob of 10 m/s with the others' arrival: its forces say nothing, the others' still do.
    o = thrown("curve")
    slow = o.levers.copy()
    slow[SPEED, 0] = 3.0
    fit = fit_pitch(hidden(replace(o, levers=slow), HIDDEN["efficiency, no launch"]), AIR, prior(PITCHES["curve"]))
    for f in (*fit.levers, fit.efficiency, fit.lift_scale, fit.seam_force, fit.drag_coefficient):
        assert np.isfinite([f.value, f.error]).all()
    assert fit.lift_scale.value == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize(
    ("row", "word"),
    [(SPEED, "speed"), (SIDE, "release_side"), (HEIGHT, "release_height"), (EXTENSION, "extension"),
     (1, "spin rate"), (CLOCK, "break clock"), (GYRO, "gyro angle")],
)  # fmt: skip
def test_what_neither_throws_nor_prior_tell_is_refused(row: int, word: str) -> None:
    o = hidden(thrown("curve"), (row, "induced", "efficiency", 7, 8))
    levers = np.full(9, np.nan)
    levers[GYRO] = np.nan if row == GYRO else 0.5
    o = hidden(o, (GYRO,))
    with pytest.raises(ValueError, match=word):
        fit_pitch(o, AIR, replace(prior(PITCHES["curve"]), levers=levers))


def test_no_throw_is_refused() -> None:
    with pytest.raises(ValueError, match="one throw"):
        fit_pitch(unobserved(0), AIR, prior(PITCHES["curve"]))


# --- noise ---


@pytest.mark.parametrize("name", PITCHES)
def test_noise_does_not_bias(name: str) -> None:
    # 25 bullpens of 40 noisy throws. Mean of (value - truth) / error: 3 standard errors are 3 / sqrt(25) = 0.6 (errors
    # are not smaller than they should be), and 0.3 is allowed for what noise of single clocks and efficiencies does to
    # the second order: 4 degrees of clock noise make the lift scale 0.24 % too large.
    truth, rng, case = PITCHES[name], np.random.default_rng(77), "efficiency, no launch"
    throws, mean = bullpen(truth), bullpen(truth).mean
    deviations = []
    for _ in range(25):
        o = with_noise(throws.thrown(rng.standard_normal((9, 40))), rng)
        fit = fit_pitch(hidden(o, HIDDEN[case]), AIR, prior(truth))
        sign = np.cos((fit.seam_clock or 0.0) - (truth.break_clock + 0.5 * np.pi))
        pairs = [(f, t) for f, t in zip(fit.levers, mean, strict=True)]
        pairs += [(fit.efficiency, abs(np.cos(truth.gyro))), (fit.drag_coefficient, 0.345), (fit.lift_scale, 1.0)]
        d = [turned(f.value - t) / f.error for f, t in pairs]
        d.append((np.sign(sign) * fit.seam_force.value - truth.seam_force) / fit.seam_force.error)
        deviations.append(d)
    bias = np.mean(deviations, axis=0)
    bias[GYRO] *= np.sign(truth.gyro)
    np.testing.assert_array_less(np.abs(bias), 0.9)


def test_spin_rate_is_in_radians_per_second() -> None:
    assert fitted("curve", "all").levers[1].value == pytest.approx(2600.0 * RPM, rel=1e-9)
