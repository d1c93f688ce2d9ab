"""A sweep over several scenarios: each answer is that of the scenario asked alone, the road that of the page."""

import tomllib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from latebreak.service.plain import plain
from latebreak.service.questions import compare, reach
from latebreak.service.questions.goal import usual_goal
from latebreak.service.questions.verdict import MEASURE
from latebreak.service.report.roads import nearest_first
from latebreak.service.scenario import from_mapping
from latebreak.service.scenario.starter import starter_text
from latebreak.service.sweep.asking import ANSWERED, Outcome
from latebreak.service.sweep.measures import Question
from latebreak.service.sweep.plan import Options, plan_from_files
from latebreak.service.sweep.planned import Plan
from latebreak.service.sweep.running import Page, sweep_to_table


@pytest.fixture
def staff(tmp_path: Path) -> Path:
    """Two pitchers who differ in speed, hand and seed, and a file that is none."""
    folder = tmp_path / "staff"
    folder.mkdir()
    for name, change in {"ada": "", "bo": "left"}.items():
        text = starter_text(name).replace('hand = "right"', f'hand = "{change or "right"}"')
        (folder / f"{name}.toml").write_text(text)
    (folder / "half.toml").write_text('title = "half')
    return folder


def plan(folder: Path, question: Question = "compare", *, roads: bool = False) -> Plan:
    return plan_from_files([str(folder)], (), None, Options(question, throws=64), roads=roads)


def test_each_answer_is_that_of_the_scenario_alone(staff: Path) -> None:
    ready = plan(staff, roads=True)
    found = [ready.ask(what_if) for what_if in ready.what_ifs]
    assert [one.status == ANSWERED for one in found] == [True, True, False]
    for name, one in zip(("ada", "bo"), found, strict=False):
        loaded = from_mapping(tomllib.loads((staff / f"{name}.toml").read_text()))
        alone = compare(loaded, throws=64).result
        assert one.better == alone.better.pitch
        for measure, estimate in alone.pitches["curve"].items():
            assert one.pitches["curve"][measure] == plain(estimate)["value"], measure
        reached = reach(loaded, pitch="curve", measure=MEASURE, goal=usual_goal(MEASURE), throws=64).result
        shortest = next(iter(nearest_first(loaded.scenario, reached)), None)
        if shortest is None:
            assert one.road is None
        else:
            assert one.road == {"pitch": "curve", "lever": shortest, **plain(reached.levers[shortest])}
    assert found[0].pitches != found[1].pitches


def test_a_page_alone_is_taken_up_again(staff: Path) -> None:
    ready, place, told = plan(staff, "fly"), staff.parent / "staff.html", list[list[Outcome]]()

    def interrupted(outcomes: list[Outcome]) -> None:
        raise KeyboardInterrupt

    with ThreadPoolExecutor(2) as threads:
        with pytest.raises(KeyboardInterrupt):
            sweep_to_table(ready.ask, ready.what_ifs, threads, None, page=Page(place, interrupted))
        assert [path.name for path in staff.parent.iterdir() if path.is_file()] == ["staff.html.part"]
        swept = sweep_to_table(ready.ask, ready.what_ifs, threads, None, page=Page(place, told.append))
    assert (swept.table, swept.page, swept.resumed, swept.answered) == (None, str(place), 3, 2)
    assert list(swept.without_answer) == [str(staff / "half.toml")]
    assert [[one.status == ANSWERED for one in outcomes] for outcomes in told] == [[True, True, False]]
    assert not [path for path in staff.parent.iterdir() if path.is_file()]


def test_cautions_say_whose_they_are(staff: Path) -> None:
    young = (staff / "ada.toml").read_text().replace('level = "college"', 'level = "youth"\nage_years = 12')
    (staff / "ada.toml").write_text(young)
    ready = plan(staff, "fly")
    with ThreadPoolExecutor(2) as threads:
        answer = ready.answer(sweep_to_table(ready.ask, ready.what_ifs, threads, staff.parent / "table.csv"))
    assert answer.title == "3 scenarios"
    (caution,) = (one for one in answer.cautions if "under 14" in one)
    assert caution.startswith(f"{staff / 'ada.toml'}: ")


def test_draws_of_their_own_are_said(staff: Path) -> None:
    (staff / "bo.toml").write_text("seed = 7\n" + (staff / "bo.toml").read_text())
    ready = plan(staff, "fly")
    with ThreadPoolExecutor(2) as threads:
        swept = sweep_to_table(ready.ask, ready.what_ifs, threads, staff.parent / "table.csv")
    assert any("seeds or throws of their own" in one for one in ready.answer(swept).warnings)
