"""The calls: a request becomes a question, the question's answer a response; nothing is computed here.

Numbers are worked out in threads (`threads.py`); the event loop only hands over.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Iterator
from typing import Any, TypeAlias, TypeVar

import grpc
from google.protobuf.message import Message

from latebreak.engine.stopping import StoppedError
from latebreak.service import questions as ask
from latebreak.service.judging.setting import check_draws
from latebreak.service.questions.answer import Answer
from latebreak.service.questions.deciding import COUNTS
from latebreak.service.questions.following.kept_goal import goal_of
from latebreak.service.questions.verdict import MEASURE
from latebreak.service.scenario import Loaded
from latebreak.service.server.faults import refuse
from latebreak.service.server.flights import flights
from latebreak.service.server.gate import Gate, Share, SlowError, peer_of
from latebreak.service.server.metrics import Metrics
from latebreak.service.server.models import models
from latebreak.service.server.record import Record
from latebreak.service.server.settings import Limits
from latebreak.service.server.threads import GIVEN_UP, Threads
from latebreak.service.server.work import check_size, check_work
from latebreak.service.throws import parse_throws
from latebreak.service.wire.answers import fill_answer
from latebreak.service.wire.messages import as_mapping
from latebreak.service.wire.scenarios import SOURCE, scenario_of
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc

#: s; so much before a caller's deadline its call ends, so that it learns why; a tenth of the time if that is less.
_BEFORE_DEADLINE = 0.25
#: s; by so much the caller's clock may be ahead when it hangs up because the time is over (chosen).
_CLOCKS = 0.05

T = TypeVar("T")
Context: TypeAlias = grpc.aio.ServicerContext


class Servicer(what_if_pb2_grpc.WhatIfServiceServicer):
    """The service.

    Parameters
    ----------
    limits : Limits
        What is taken on.
    metrics : Metrics
        What is counted.
    lost : callable
        Told how many threads hang, whenever that changes.
    """

    def __init__(
        self, limits: Limits, metrics: Metrics, lost: Callable[[int], Awaitable[None]] = lambda count: asyncio.sleep(0)
    ) -> None:
        self._limits, self._metrics = limits, metrics
        self._gate = Gate(limits.at_once, limits.waiting)
        self._streams = Share(limits.streams, "streams are open")
        metrics.inside.set_function(lambda: self._gate.inside)
        self._threads = Threads(self._gate.slots, limits.at_once, lost)
        self._calls: set[asyncio.Task[Any]] = set()

    async def close(self) -> None:
        """End the calls that a server which has stopped has left, and give the threads back."""
        for call in self._calls:
            call.cancel()
        if self._calls:
            await asyncio.wait(self._calls, timeout=2 * GIVEN_UP)
        self._threads.close()

    @property
    def at_work(self) -> int:
        """Threads that work: after `close`, those that can't be stopped."""
        return self._threads.at_work

    async def Fly(self, request: what_if_pb2.FlyRequest, context: Context) -> Message | None:  # noqa: N802
        """Answer where these pitches go."""

        def work() -> Answer[Any]:
            scenario = scenario_of(request.scenario)
            self._check("fly", scenario, request, len(scenario.scenario.pitch))
            return ask.fly(scenario, **_draws(request))

        return await self._answer("Fly", request, work, what_if_pb2.FlyResponse(), context)

    async def Compare(self, request: what_if_pb2.CompareRequest, context: Context) -> Message | None:  # noqa: N802
        """Answer which pitch is harder to hit behind this fastball."""

        def work() -> Answer[Any]:
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

        return await self._answer("Compare", request, work, what_if_pb2.CompareResponse(), context)

    async def Aim(self, request: what_if_pb2.AimRequest, context: Context) -> Message | None:  # noqa: N802
        """Answer where a pitch should be aimed."""

        def work() -> Answer[Any]:
            scenario = scenario_of(request.scenario)
            self._check("aim", scenario, request, 1)
            measure: dict[str, Any] = {"measure": request.measure} if request.HasField("measure") else {}
            intervals = not request.no_interval
            return ask.aim(scenario, pitch=request.pitch, intervals=intervals, **measure, **_draws(request))

        return await self._answer("Aim", request, work, what_if_pb2.AimResponse(), context)

    async def Mix(self, request: what_if_pb2.MixRequest, context: Context) -> Message | None:  # noqa: N802
        """Answer how often each pitch should be thrown."""

        def work() -> Answer[Any]:
            scenario = scenario_of(request.scenario)
            self._check("mix", scenario, request, len(scenario.scenario.pitch))
            return ask.mix(scenario, intervals=not request.no_interval, **_draws(request))

        return await self._answer("Mix", request, work, what_if_pb2.MixResponse(), context)

    async def Levers(self, request: what_if_pb2.LeversRequest, context: Context) -> Message | None:  # noqa: N802
        """Answer what a step on each lever does, and where the leak is."""

        def work() -> Answer[Any]:
            scenario = scenario_of(request.scenario)
            self._check("levers", scenario, request, 1)
            measure = request.measure if request.HasField("measure") else None
            intervals = not request.no_interval
            return ask.levers(scenario, pitch=request.pitch, measure=measure, intervals=intervals, **_draws(request))

        return await self._answer("Levers", request, work, what_if_pb2.LeversResponse(), context)

    async def Reach(self, request: what_if_pb2.ReachRequest, context: Context) -> Message | None:  # noqa: N802
        """Answer how much must be added to reach a goal."""

        def work() -> Answer[Any]:
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

        return await self._answer("Reach", request, work, what_if_pb2.ReachResponse(), context)

    async def FitThrows(self, request: what_if_pb2.FitThrowsRequest, context: Context) -> Message | None:  # noqa: N802
        """Answer which scenario measured throws make, and what changed."""

        def work() -> Answer[Any]:
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

        return await self._answer("FitThrows", request, work, what_if_pb2.FitThrowsResponse(), context)

    async def StreamFlights(  # noqa: N802
        self, request: what_if_pb2.StreamFlightsRequest, context: Context
    ) -> None:
        """Whole flights, in chunks; the next chunk is flown when the last one was taken.

        A slot, and a place at the gate, are held while a chunk is flown, not while a slow reader takes it.
        """
        peer = peer_of(context.peer())

        def begin() -> Iterator[what_if_pb2.StreamFlightsResponse]:
            scenario = scenario_of(request.scenario)
            names = list(request.pitches) or list(scenario.scenario.pitch)
            self._check("flights", scenario, request, len(names))
            return flights(scenario, names, request.points if request.HasField("points") else None, **_draws(request))

        async def sent() -> None:
            with self._streams.held(peer):
                chunks = await self._threads.work(begin)
                while (chunk := await self._threads.work(lambda: next(chunks, None))) is not None:
                    self._metrics.throws.inc(len(chunk.paths))
                    with self._gate.places.aside(peer):
                        await self._taken(chunk, context)

        await self._through("StreamFlights", request, context, sent)

    async def ListModels(  # noqa: N802
        self, request: what_if_pb2.ListModelsRequest, context: Context
    ) -> what_if_pb2.ListModelsResponse:
        """List the force laws and hitter models that scenarios can name."""
        Record(self._metrics, "ListModels", context).ended(grpc.StatusCode.OK)
        return models()

    # --- how every call goes ----------------------------------------------------------------------------------------
    async def _answer(
        self, method: str, request: Message, work: Callable[[], Answer[Any]], response: Message, context: Context
    ) -> Message | None:
        def answered() -> Message:
            answer = work()
            fill_answer(response, answer)
            self._metrics.throws.inc(answer.throws)
            return response

        return await self._through(method, request, context, lambda: self._threads.work(answered))

    async def _through(
        self, method: str, request: Message, context: Context, work: Callable[[], Awaitable[T]]
    ) -> T | None:
        """Let a call in, give it its time, log how it ended, and tell the caller where it went wrong."""
        record = Record(self._metrics, method, context)
        code = grpc.StatusCode.OK
        call = asyncio.current_task()
        assert call is not None  # every call is one
        self._calls.add(call)
        call.add_done_callback(self._calls.discard)
        seconds, whose = self._limits.seconds, "this server gives a request"
        remaining = context.time_remaining()
        if remaining is not None and remaining < seconds:
            seconds, whose = remaining - min(_BEFORE_DEADLINE, 0.1 * remaining), "the caller gives this request"
        try:
            async with self._gate.admitted(peer_of(context.peer())), asyncio.timeout(seconds):
                check_size(request)
                return await work()
        except asyncio.CancelledError:
            remaining = context.time_remaining()
            late = remaining is not None and remaining < _CLOCKS
            code = grpc.StatusCode.DEADLINE_EXCEEDED if late else grpc.StatusCode.CANCELLED
            raise
        except TimeoutError:
            text = f"not done within the {seconds:.3g} s that {whose}"
            code, text, metadata = record.told(StoppedError(text))
        except Exception as error:
            code, text, metadata = record.told(error)
        finally:
            record.ended(code)
        refuse(context, code, text, metadata)
        return None

    async def _taken(self, chunk: Message, context: Context) -> None:
        """Wait until a chunk of a stream has been taken."""
        try:
            async with asyncio.timeout(self._limits.taken_within):
                await context.write(chunk)
        except TimeoutError:
            text = f"a chunk was not taken within the {self._limits.taken_within:g} s that this server waits"
            raise SlowError(f"{text}: read the stream faster, or ask for fewer throws") from None
        except grpc.aio.InternalError as error:  # nothing takes it any more
            raise asyncio.CancelledError("the caller has hung up") from error

    def _check(self, command: str, loaded: Loaded, request: Any, pitches: int) -> None:
        draws = _draws(request)
        check_draws(**draws, source=loaded.source)
        intervals = not getattr(request, "no_interval", command in {"fly", "flights"})
        check_work(command, loaded.scenario, draws["throws"], pitches, intervals=intervals, allowed=self._limits.work)


def _draws(request: Any) -> dict[str, Any]:
    """Seed and throws of a request, None where it leaves them to the scenario."""
    return {key: getattr(request, key) if request.HasField(key) else None for key in ("seed", "throws")}
