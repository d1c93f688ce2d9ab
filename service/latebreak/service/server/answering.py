"""From a request to the answer of its question, within the limit of work; nothing is computed here."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from google.protobuf.message import Message

from latebreak.service import questions as ask
from latebreak.service.judging.setting import check_draws
from latebreak.service.questions.answer import Answer
from latebreak.service.questions.deciding import COUNTS
from latebreak.service.questions.following.kept_goal import goal_of
from latebreak.service.scenario import Loaded
from latebreak.service.server.flights import flights
from latebreak.service.server.work import check_work
from latebreak.service.throws import parse_throws
from latebreak.service.wire.messages import as_mapping
from latebreak.service.wire.scenarios import SOURCE, scenario_of
from latebreak.v1 import what_if_pb2

#: Questions about a scenario; the fields of a request are named as what the question takes.
_QUESTIONS: Mapping[type[Message], str] = {
    what_if_pb2.FlyRequest: "fly",
    what_if_pb2.CompareRequest: "compare",
    what_if_pb2.AimRequest: "aim",
    what_if_pb2.MixRequest: "mix",
    what_if_pb2.LeversRequest: "levers",
    what_if_pb2.ReachRequest: "reach",
}


class Answering:
    """Answers requests.

    Parameters
    ----------
    work : int
        Simulated throws of one request, over all pitches, levers and draws.
    """

    def __init__(self, work: int) -> None:
        self._work = work

    def answer(self, request: Message) -> Answer[Any]:
        """Answer a question.

        Raises
        ------
        InputError
            If the request is at fault.
        TooMuchWorkError
            If it asks for more than is taken on.
        """
        if isinstance(request, what_if_pb2.FitThrowsRequest):
            return self._fit(request)
        scenario = scenario_of(request.scenario)  # type: ignore[attr-defined]
        question, given = _QUESTIONS[type(request)], _given(request)
        number = 1 if "pitch" in given else len(given.get("pitches", scenario.scenario.pitch))
        times = 1 + len(COUNTS) * given.get("counts", False) + 6 * given.get("hitters", False)
        self._check(question, scenario, request, times * number)
        found: Answer[Any] = getattr(ask, question)(scenario, **given)
        return found

    def flights(self, request: what_if_pb2.StreamFlightsRequest) -> Iterator[what_if_pb2.StreamFlightsResponse]:
        """Return whole flights in chunks, flown as they are taken; raises what `answer` raises, at once."""
        scenario = scenario_of(request.scenario)
        names = list(request.pitches) or list(scenario.scenario.pitch)
        self._check("flights", scenario, request, len(names))
        return flights(scenario, names, request.points if request.HasField("points") else None, **_draws(request))

    def _fit(self, request: what_if_pb2.FitThrowsRequest) -> Answer[Any]:
        labels = request.labels
        base = scenario_of(request.base, labels.base or SOURCE)
        tables = [(request.csv, labels.csv or "csv")]
        if request.HasField("later_csv"):
            tables.append((request.later_csv, labels.later_csv or "later_csv"))
        names = [*labels.more_csv, *(f"more_csv {at}" for at in range(len(labels.more_csv), len(request.more_csv)))]
        tables += zip(request.more_csv, names, strict=False)
        goal = None
        if request.HasField("goal"):
            goal = goal_of(as_mapping(request.goal, empty=False), labels.goal or "goal")
        columns, hand = request.columns if request.HasField("columns") else None, base.scenario.pitcher.hand
        earlier, *later = (parse_throws(csv, columns, name, hand=hand) for csv, name in tables)
        # a goal has the pitch of every session judged
        sessions = 0 if goal is None else max(len(tables), len(earlier.sessions))
        self._check("fit", base, request, len(base.scenario.pitch) + sessions)
        given = _draws(request)
        return ask.fit(
            earlier,
            base=base,
            later=later,
            fastball=request.fastball or None,
            goal=goal,
            seed=given["seed"],
            throws_per_pitch=given["throws"],
        )

    def _check(self, command: str, loaded: Loaded, request: Any, pitches: int) -> None:
        draws = _draws(request)
        check_draws(**draws, source=loaded.source)
        intervals = not getattr(request, "no_interval", command in {"fly", "flights"})
        check_work(command, loaded.scenario, draws["throws"], pitches, intervals=intervals, allowed=self._work)


def _given(request: Message) -> dict[str, Any]:
    """Return what a request gives of its question, by name; what it leaves out, or lists none of, is not there."""
    given: dict[str, Any] = {}
    for field in request.DESCRIPTOR.fields:
        value = getattr(request, field.name)
        is_there = request.HasField(field.name) if field.has_presence else value or not field.is_repeated
        if is_there and field.message_type is None:
            given[field.name] = list(value) if field.is_repeated else value
    if "no_interval" in given:
        given["intervals"] = not given.pop("no_interval")
    return given


def _draws(request: Any) -> dict[str, Any]:
    """Seed and throws of a request, None where it leaves them to the scenario."""
    return {key: getattr(request, key) if request.HasField(key) else None for key in ("seed", "throws")}
