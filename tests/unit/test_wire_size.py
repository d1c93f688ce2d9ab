"""How much a message holds is known from its bytes."""

from contextlib import suppress
from typing import Any

import pytest
from google.protobuf.message import DecodeError
from hypothesis import given
from hypothesis import strategies as st

from latebreak.service.scenario import load
from latebreak.service.wire.messages import as_mapping
from latebreak.service.wire.scenarios import message_of
from latebreak.service.wire.size import GroupError, count_values
from latebreak.v1 import what_if_pb2

FLY: Any = what_if_pb2.FlyRequest.DESCRIPTOR
PATH: Any = what_if_pb2.Path.DESCRIPTOR


def leaves(value: object) -> int:
    """Values of a mapping, tables and lists included; on the wire an entry of a map holds two more."""
    if isinstance(value, dict):
        return sum(1 + leaves(one) for one in value.values())
    return sum(1 + leaves(one) for one in value) if isinstance(value, list) else 0


def test_every_value_is_counted_with_those_in_it() -> None:
    request = what_if_pb2.FlyRequest(seed=3, throws=7)
    assert count_values(request.SerializeToString(), FLY, 100) == 2
    request.scenario.pitch["curve"].speed_mph = 78.0  # scenario, entry, key, value, speed
    assert count_values(request.SerializeToString(), FLY, 100) == 7


def test_a_whole_scenario_holds_at_least_what_its_tables_do() -> None:
    request = what_if_pb2.FlyRequest(scenario=message_of(load("staff")))
    counted = count_values(request.SerializeToString(), FLY, 10_000)
    assert leaves(as_mapping(request, empty=False)) <= counted < 1000


def test_entries_of_packed_lists_count_each() -> None:
    path = what_if_pb2.Path(throw=4, time_s=[0.0] * 50, x_ft=[1.0] * 7)
    assert count_values(path.SerializeToString(), PATH, 100) == 3 + 57


def test_counting_stops_soon_after_enough() -> None:
    assert count_values(b"\x0a\x04\x2a\x00\x2a\x00" * 1_000_000, FLY, 10) <= 12


@pytest.mark.parametrize("content", [b"\x0b\x0c", b"\x0a", b"\x0a\x05\x00", b"\xff" * 11, b"\x09\x00", b"\x0f"])
def test_what_is_no_message_is_said(content: bytes) -> None:
    with pytest.raises(DecodeError):
        count_values(content, FLY, 100)


@given(st.binary(max_size=60))
def test_what_the_parser_takes_can_be_counted(content: bytes) -> None:
    """But for groups, which are old and in no message of ours."""
    try:
        what_if_pb2.FlyRequest.FromString(content)
    except DecodeError:
        return
    with suppress(GroupError):
        assert 0 <= count_values(content, FLY, 1000) <= len(content)
