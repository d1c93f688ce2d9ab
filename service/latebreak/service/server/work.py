"""How much work a request asks for, and the limit of what is taken on.

Work is counted in throws: simulated throws times pitches or versions, and the throws of an ensemble of what is not
known.
"""

from __future__ import annotations

from typing import Any

from google.protobuf.message import Message

from latebreak.engine.errors import LatebreakError
from latebreak.service.judging.estimates import MEMBERS
from latebreak.service.judging.measures import THROWS_PER_MEMBER
from latebreak.service.questions.lever import LEVERS
from latebreak.service.scenario import Scenario

#: Versions of a pitch that one question flies: the pitch, and the rest of the mix beside it; the targets that are
#: looked at, as whole throws; mixes, whose throws are flown once; a step on each lever and the moves behind the leaks;
#: the places of the search and its rounds, as whole throws.
_VERSIONS = {
    "fly": 1, "compare": 2, "aim": 25, "mix": 10, "levers": len(LEVERS) + 5, "reach": 25, "fit": 2, "flights": 4,
}  # fmt: skip


#: Entries that all lists and maps of a request hold together (chosen: ten times those of a whole staff's scenario).
MOST_ENTRIES = 2000
#: Lines of the tables of measured throws of a request (chosen: a season of a starting pitcher).
MOST_LINES = 3000


class TooMuchWorkError(LatebreakError):
    """A request asks for more work than one request may."""


def check_size(request: Message) -> None:
    """Refuse a request that lists too much: reading it can't be stopped.

    Parameters
    ----------
    request : Message
        Of any kind.

    Raises
    ------
    TooMuchWorkError
        If it does.
    """
    if _entries(request, MOST_ENTRIES) > MOST_ENTRIES:
        raise TooMuchWorkError(
            f"the lists and maps of this request hold more than {MOST_ENTRIES:,} entries together: ask about fewer "
            "pitches at a time"
        )
    fields = [value for field, value in request.ListFields() if field.type == field.TYPE_BYTES]
    tables: list[bytes] = [one for value in fields for one in ([value] if isinstance(value, bytes) else value)]
    if sum(max(table.count(b"\n"), table.count(b"\r")) for table in tables) > MOST_LINES:
        raise TooMuchWorkError(f"the tables of this request hold more than {MOST_LINES:,} lines: fit fewer throws")


def _entries(message: Message, enough: int) -> int:
    """Count the entries of all lists and maps; not much further than `enough`."""
    count = 0
    for field, value in message.ListFields():
        below: Any = [value]
        if field.is_repeated:
            count += len(value)
            below = value.values() if field.message_type and field.message_type.GetOptions().map_entry else value
        for one in below:
            if count > enough:
                return count
            if isinstance(one, Message):
                count += _entries(one, enough - count)
    return count


def check_work(
    command: str, scenario: Scenario, throws: int | None, pitches: int, *, intervals: bool, allowed: int
) -> None:
    """Refuse a request that asks for too much.

    Parameters
    ----------
    command : str
        The question.
    scenario : Scenario
        What is asked about.
    throws : int or None
        In place of the scenario's own.
    pitches : int
        Pitches that are thrown or compared.
    intervals : bool
        Whether what is not known is sampled.
    allowed : int
        The limit.

    Raises
    ------
    TooMuchWorkError
        If it does.
    """
    each = scenario.throws if throws is None else throws
    members = MEMBERS * THROWS_PER_MEMBER if intervals else 0
    types = max(len(scenario.pitch), 1)
    asked = _VERSIONS[command] * max(pitches, 1) * (each + members * types)
    if asked > allowed:
        raise TooMuchWorkError(
            f"this question asks for some {asked:,} simulated throws over all pitches, levers and draws; this server "
            f"takes on {allowed:,} a request: ask with fewer throws, fewer pitches, or no_interval"
        )
