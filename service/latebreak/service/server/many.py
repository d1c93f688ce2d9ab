"""Many questions of one call: read one by one as there is room, answered as they are done, written one at a time.

A question that is at fault gets its status; only the call's own trouble ends it: its time is over, nobody reads, or
the server ends. A question holds a place at the gate until it is answered, and one of the call's few until its answer
has been taken: so a caller who does not read has little worked out and holds nothing that others wait for.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import ExitStack
from dataclasses import dataclass

from google.protobuf.message import Message

from latebreak.engine.errors import Fault, InputError, LatebreakError
from latebreak.service.server.gate import Share, SlowError
from latebreak.service.server.work import TooMuchWorkError
from latebreak.service.wire.many import LONGEST_ID, MOST_QUESTIONS
from latebreak.service.wire.scenarios import SOURCE
from latebreak.service.wording import shown


class EndingError(LatebreakError):
    """The server ends; another one may answer."""


@dataclass(frozen=True)
class Asked:
    """A question as it came.

    Attributes
    ----------
    id : str
        As far as it can be told.
    question : Message or LatebreakError
        What a call of its own would send, or what is wrong.
    """

    id: str
    question: Message | LatebreakError


class Many:
    """The questions of one call.

    Parameters
    ----------
    questions : asynchronous iterator of Asked
        Reads the next.
    answer, write : callable
        Answers a question, with its place in the call, and sends what was found.
    places : Share
        Of the gate.
    peer : str
        Who asks.
    ahead : int
        Questions at a time.
    quiet : float
        s; after this without a question, at work or coming, the call ends.
    """

    def __init__(
        self, questions: AsyncIterator[Asked], answer: Callable[[int, Asked], Awaitable[Message]],
        write: Callable[[Message], Awaitable[None]], places: Share, peer: str, ahead: int, quiet: float,
    ) -> None:  # fmt: skip
        self._questions, self._answer, self._write = questions, answer, write
        self._places, self._peer, self._ahead, self._quiet = places, peer, ahead, quiet
        self._room, self._writing = asyncio.Semaphore(ahead), asyncio.Lock()
        self._ids: set[str] = set()
        self._open, self._ending = 0, False
        self._reading: asyncio.Timeout | None = None

    def end(self) -> None:
        """Read no further question: the server ends."""
        self._ending = True
        self._set_time()

    async def answered(self) -> None:
        """Answer all.

        Raises
        ------
        SlowError
            If the caller neither asks nor waits for an answer, or does not read.
        EndingError, TooMuchWorkError
            If the server ends, or these were too many for one call: once those before are answered.
        """
        try:
            async with asyncio.TaskGroup() as group:
                why = await self._read(group)
        except ExceptionGroup as errors:
            raise errors.exceptions[0] from None
        if why is not None:
            raise why

    async def _read(self, group: asyncio.TaskGroup) -> LatebreakError | None:
        """Read and begin to answer; return why not all."""
        for place in range(1, MOST_QUESTIONS + 2):
            await self._room.acquire()
            await self._places.free(self._peer)
            try:
                asked = await self._next()
            except TimeoutError:
                if not self._ending:
                    return SlowError(f"no question came within the {self._quiet:g} s that this server waits for one")
                return EndingError("this server ends: ask again what has no answer")
            if asked is None:
                return None
            if place > MOST_QUESTIONS:
                break
            await self._places.free(self._peer)  # others may have come in the meantime
            self._begin(group, place, self._looked_at(asked))
        return TooMuchWorkError(f"a call takes {MOST_QUESTIONS:,} questions: ask the others in another one")

    async def _next(self) -> Asked | None:
        try:
            async with asyncio.timeout(None) as self._reading:
                self._set_time()
                return await anext(self._questions, None)
        finally:
            self._reading = None

    def _set_time(self) -> None:
        """Say until when the next question must have come: any time while there is one at work."""
        if self._reading is not None:
            now = asyncio.get_running_loop().time()
            self._reading.reschedule(now if self._ending else None if self._open else now + self._quiet)

    def _looked_at(self, asked: Asked) -> Asked:
        """Return the question, or what is wrong with its id."""
        problem = (
            "no id is given" if not asked.id
            else f"an id of {len(asked.id):,} characters" if len(asked.id) > LONGEST_ID
            else f"{shown(asked.id)} is the id of another question of this call" if asked.id in self._ids
            else ""
        )  # fmt: skip
        if not problem or isinstance(asked.question, LatebreakError):
            self._ids.add(asked.id[:LONGEST_ID])
            return asked
        allowed = f"1 to {LONGEST_ID} characters, another one for every question"
        return Asked(asked.id[:LONGEST_ID], InputError([Fault("id", problem, allowed)], SOURCE))

    def _begin(self, group: asyncio.TaskGroup, place: int, asked: Asked) -> None:
        held = ExitStack()
        held.enter_context(self._places.held(self._peer))

        async def answered() -> None:
            found = await self._answer(place, asked)
            held.close()
            async with self._writing:
                await self._write(found)

        def ended(_: object) -> None:  # also where it was cancelled before it began
            held.close()
            self._room.release()
            self._open -= 1
            if not self._open:
                self._set_time()

        self._open += 1
        group.create_task(answered()).add_done_callback(ended)
