"""From a request to the answer of its question, within the limit of work; nothing is computed here."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from google.protobuf.message import Message

from latebreak.service import questions as ask
from latebreak.service.judging.setting import check_draws
from latebreak.service.questions.answer import Answer
from latebreak.service.questions.deciding import COUNTS
from latebreak.service.questions.following.kept_goal import goal_of
from latebreak.service.questions.verdict import MEASURE
from latebreak.service.scenario import Loaded
from latebreak.service.server.flights import flights
from latebreak.service.server.work import check_work
from latebreak.service.throws import parse_throws
from latebreak.service.wire.messages import as_mapping
from latebreak.service.wire.scenarios import SOURCE, scenario_of
from latebreak.v1 import what_if_pb2


class Answering:
    """Answers requests.

    Parameters
    ----------
    work : int
        Simulated throws of one request, over all pitches, levers and draws.
    """

    def __init__(self, work: int) -> None:
        self._work = work
        self._by_request: Mapping[type[Message], Callable[[Any], Answer[Any]]] = {
            what_if_pb2.FlyRequest: self._fly,
            what_if_pb2.CompareRequest: self._compare,
            what_if_pb2.AimRequest: self._aim,
            what_if_pb2.MixRequest: self._mix,
            what_if_pb2.LeversRequest: self._levers,
            what_if_pb2.ReachRequest: self._reach,
            what_if_pb2.FitThrowsRequest: self._fit,
        }

    def answer(self, request: Message) -> Answer[Any]:
        """Answer a question.

        Raises
        ------
        InputError
            If the request is at fault.
        TooMuchWorkError
            If it asks for more than is taken on.
        """
        return self._by_request[type(request)](request)

    def flights(self, request: what_if_pb2.StreamFlightsRequest) -> Iterator[what_if_pb2.StreamFlightsResponse]:
        """Return whole flights in chunks, flown as they are taken; raises what `answer` raises, at once."""
        scenario = scenario_of(request.scenario)
        names = list(request.pitches) or list(scenario.scenario.pitch)
        self._check("flights", scenario, request, len(names))
        return flights(scenario, names, request.points if request.HasField("points") else None, **_draws(request))

    def _fly(self, request: what_if_pb2.FlyRequest) -> Answer[Any]:
        scenario = scenario_of(request.scenario)
        self._check("fly", scenario, request, len(scenario.scenario.pitch))
        return ask.fly(scenario, **_draws(request))

    def _compare(self, request: what_if_pb2.CompareRequest) -> Answer[Any]:
        scenario = scenario_of(request.scenario)
        names = list(request.pitches) or None
        times = 1 + len(COUNTS) * request.counts + 6 * request.hitters
        self._check("compare", scenario, request, times * len(names or scenario.scenario.pitch))
        return ask.compare(
            scenario,
            pitches=names,
            by=request.by if request.HasField("by") else MEASURE,
            count=request.count if request.HasField("count") else None,
            counts=request.counts,
            hitters=request.hitters,
            intervals=not request.no_interval,
            **_draws(request),
        )

    def _aim(self, request: what_if_pb2.AimRequest) -> Answer[Any]:
        scenario = scenario_of(request.scenario)
        self._check("aim", scenario, request, 1)
        measure: dict[str, Any] = {"measure": request.measure} if request.HasField("measure") else {}
        intervals = not request.no_interval
        return ask.aim(scenario, pitch=request.pitch, intervals=intervals, **measure, **_draws(request))

    def _mix(self, request: what_if_pb2.MixRequest) -> Answer[Any]:
        scenario = scenario_of(request.scenario)
        self._check("mix", scenario, request, len(scenario.scenario.pitch))
        return ask.mix(scenario, intervals=not request.no_interval, **_draws(request))

    def _levers(self, request: what_if_pb2.LeversRequest) -> Answer[Any]:
        scenario = scenario_of(request.scenario)
        self._check("levers", scenario, request, 1)
        measure = request.measure if request.HasField("measure") else None
        intervals = not request.no_interval
        return ask.levers(scenario, pitch=request.pitch, measure=measure, intervals=intervals, **_draws(request))

    def _reach(self, request: what_if_pb2.ReachRequest) -> Answer[Any]:
        scenario = scenario_of(request.scenario)
        self._check("reach", scenario, request, 1)
        return ask.reach(
            scenario,
            pitch=request.pitch,
            measure=request.measure,
            goal=request.goal,
            by=list(request.by) or None,
            intervals=not request.no_interval,
            **_draws(request),
        )

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


def _draws(request: Any) -> dict[str, Any]:
    """Seed and throws of a request, None where it leaves them to the scenario."""
    return {key: getattr(request, key) if request.HasField(key) else None for key in ("seed", "throws")}
