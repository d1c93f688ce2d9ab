"""How much work a request asks for: counted in throws, with a limit; and how much it may list."""

import re
from typing import Any

import pytest

from latebreak.service.scenario import Scenario, load
from latebreak.service.server.work import MOST_ENTRIES, MOST_LINES, TooMuchWorkError, check_size, check_work
from latebreak.service.wire.scenarios import message_of
from latebreak.v1 import what_if_pb2


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return load("two-grips").scenario


def asked(command: str, scenario: Scenario, throws: int | None = None, pitches: int = 1, **how: Any) -> int:
    """Throws that a question is counted as."""
    with pytest.raises(TooMuchWorkError) as found:
        check_work(command, scenario, throws, pitches, intervals=how.get("intervals", False), allowed=0)
    number = re.search(r"some ([\d,]+) simulated throws", str(found.value))
    assert number
    return int(number[1].replace(",", ""))


def test_the_limit_itself_is_allowed(scenario: Scenario) -> None:
    work = asked("compare", scenario, 1234, 2)
    check_work("compare", scenario, 1234, 2, intervals=False, allowed=work)
    with pytest.raises(TooMuchWorkError, match=f"takes on {work - 1:,} a request: ask with fewer throws"):
        check_work("compare", scenario, 1234, 2, intervals=False, allowed=work - 1)


def test_work_grows_with_throws_pitches_and_what_is_not_known(scenario: Scenario) -> None:
    one = asked("compare", scenario, 1000)
    assert asked("compare", scenario, 5000) == 5 * one
    assert asked("compare", scenario, 1000, 3) == 3 * one
    assert asked("compare", scenario, 1000, intervals=True) > one
    assert asked("compare", scenario) == asked("compare", scenario, scenario.throws)


def test_questions_that_fly_many_versions_count_for_more(scenario: Scenario) -> None:
    fly, compare, levers, reach = (asked(one, scenario, 1000) for one in ("fly", "compare", "levers", "reach"))
    assert fly == 1000
    assert compare == 2 * fly  # and the rest of the mix beside it
    assert levers >= 5 * compare  # a step on each of ten levers
    assert reach > levers


def test_a_small_scenario_is_within_the_limits_and_a_huge_one_is_not() -> None:
    for name in ("two-grips", "staff"):
        check_size(what_if_pb2.FlyRequest(scenario=message_of(load(name))))
    request = what_if_pb2.FlyRequest(scenario=message_of(load("two-grips")))
    for number in range(MOST_ENTRIES):
        request.scenario.pitch[f"curve_{number}"].speed_mph = 78.0
    with pytest.raises(TooMuchWorkError, match="fewer pitches"):
        check_size(request)


def test_entries_are_counted_wherever_they_are() -> None:
    request = what_if_pb2.CompareRequest(pitches=["curve"] * (MOST_ENTRIES - 2))
    request.scenario.pitch["curve"].correlation["speed_mph:spin_rpm"] = 0.4
    check_size(request)  # exactly as many as may be
    request.scenario.pitch["curve"].correlation["speed_mph:gyro_deg"] = 0.1
    with pytest.raises(TooMuchWorkError):
        check_size(request)
    reach = what_if_pb2.ReachRequest(by=["speed_mph"] * (MOST_ENTRIES + 1))
    with pytest.raises(TooMuchWorkError):
        check_size(reach)


@pytest.mark.parametrize("line", [b"curve,78.1\n", b"curve,78.1\r\n", b"curve,78.1\r"])
def test_tables_of_throws_have_a_limit_together(line: bytes) -> None:
    half = line * (MOST_LINES // 2)
    check_size(what_if_pb2.FitThrowsRequest(csv=half, later_csv=half))
    with pytest.raises(TooMuchWorkError, match="fit fewer throws"):
        check_size(what_if_pb2.FitThrowsRequest(csv=half, later_csv=half + line))
    with pytest.raises(TooMuchWorkError, match="fit fewer throws"):
        check_size(what_if_pb2.FitThrowsRequest(csv=half, more_csv=[half, line]))
