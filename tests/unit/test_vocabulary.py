"""One vocabulary: whatever a number is called, it is called so by its one entry."""

import pytest

from latebreak.service.quantities import GROUPS, MAIN, MEASURES, QUANTITIES, SPREAD, Quantity, Reader
from latebreak.service.quantities import measures as vocabulary
from latebreak.service.questions import Estimate, compare, fly
from latebreak.service.questions.compare import CompareResult
from latebreak.service.questions.goal import MEASURES as IN_ANSWERS
from latebreak.service.questions.lever import LEVERS
from latebreak.service.questions.verdict import MEASURE, Better
from latebreak.service.report.rows import number_groups
from latebreak.service.scenario.model import Air, Ball, Field, Hitter, Pitcher, Scenario
from latebreak.service.scenario.pitch_entry import PitchEntry, Spread
from latebreak.service.sweep.measures import MEASURES as SWEPT
from latebreak.service.tables.compare import rows
from latebreak.service.throws.measured import MEASURED
from latebreak.v1 import answers_pb2

CONTRACT = (
    "swing_percent", "zone_percent", "called_strike_percent", "swinging_strike_percent", "ball_percent",
    "strike_without_contact_percent", "chase_percent", "miss_chance_percent", "clean_contact_percent",
    *(f"{event}_{end}" for event in ("tunnel_exit", "recognition", "break_onset")
      for end in ("ft", "after_release_ms", "before_arrival_ms", "reached_percent")),
    "belief_at_commit_percent", "late_break_in", "late_break_share_percent", "blind_break_in",
    "arrival_surprise_vertical_in", "arrival_surprise_side_in", "arrival_surprise_rms_in", "timing_surprise_ms",
    "path_gap_at_100ms_arcmin", "path_gap_at_100ms_in", "path_gap_at_commit_arcmin", "path_gap_at_commit_in",
)  # fmt: skip


def test_every_measure_is_in_the_vocabulary() -> None:
    known = [one.key for one in MEASURES]
    assert len(set(known)) == len(known)
    assert set(IN_ANSWERS) <= set(known)
    assert set(CONTRACT) <= set(known)
    assert set(answers_pb2.PitchEstimates.DESCRIPTOR.fields_by_name) == set(known)
    assert set(MAIN) <= set(known)


@pytest.mark.parametrize("section", [Scenario, Air, Field, Ball, Pitcher, Hitter, PitchEntry])
def test_every_number_of_a_scenario_is(section: type[Scenario | Air | Field | Ball | Pitcher | Hitter]) -> None:
    for key, known in section.ranges().items():
        assert QUANTITIES[key].unit == known.unit


def test_every_spread_lever_throw_and_flight_is() -> None:
    assert all(QUANTITIES[SPREAD + key].unit == known.unit for key, known in Spread.ranges().items())
    assert {lever.key for lever in LEVERS} <= set(QUANTITIES)
    assert all(QUANTITIES[key].unit == known.unit for key, known in MEASURED.items())
    assert set(SWEPT["fly"]) <= set(QUANTITIES)


def test_every_entry_is_whole() -> None:
    for one in QUANTITIES.values():
        assert one.name
        assert one.digits >= 0
        assert one.key == one.key.strip()
    for measure in MEASURES:
        assert measure.matters is not None
        assert measure.has_row == bool(measure.meaning)
        assert not measure.meaning or measure.meaning.endswith(".")
        assert measure.name.lower() not in measure.meaning.lower()


def answered(*keys: str) -> CompareResult:
    estimates = {key: Estimate(50.0, 1.0, 40.0, 60.0) for key in keys}
    return CompareResult("fastball", {"curve": estimates}, Better(None, MEASURE, None), (), "")


def test_tables_and_page_show_what_the_answer_has_in_words_of_the_vocabulary() -> None:
    result = answered("swing_percent", "tunnel_exit_ft", "tunnel_exit_reached_percent", MEASURE)
    assert [one.key for one in rows(result.pitches)] == ["swing_percent", MEASURE, "tunnel_exit_ft"]
    page = number_groups(result, Reader("metric"))
    shown = {row.label: (row.meaning, row.cells[0].value) for group in page.values() for row in group}
    assert shown["leaves the fastball's tunnel"] == (QUANTITIES["tunnel_exit_ft"].meaning, "15.24 m")
    assert set(page) == {
        group for group, held in GROUPS.items() if {one.key for one in held} & {*result.pitches["curve"]}
    }


def test_a_measure_is_added_by_its_entry_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """An answer with a measure that nobody has heard of is shown once the vocabulary knows it."""
    new = Quantity("foul_percent", "fouls, per swing", meaning="Of 100 swings, so many are hit foul.")
    assert rows(answered("foul_percent").pitches) == []
    monkeypatch.setattr("latebreak.service.tables.compare.MEASURES", (*vocabulary.MEASURES, new))
    monkeypatch.setitem(GROUPS, "Is it missed?", (*GROUPS["Is it missed?"], new))
    ((row,),) = number_groups(answered("foul_percent"), Reader()).values()
    assert (row.label, row.cells[0].value) == ("fouls, per swing", "50.0 %")


def test_sweep_has_the_measures_of_the_answers() -> None:
    assert set(SWEPT["compare"]) == set(IN_ANSWERS)
    assert list(SWEPT["compare"]) == [one.key for one in MEASURES if one.key in IN_ANSWERS]


def test_answers_have_the_keys_of_the_vocabulary() -> None:
    for pitches in (
        compare("two-grips", throws=32, intervals=False).result.pitches,
        {name: one.quantities for name, one in fly("two-grips", throws=32).result.pitches.items()},
    ):
        assert all(set(found) <= set(QUANTITIES) for found in pitches.values())
