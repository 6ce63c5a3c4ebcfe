"""Asks the planner's own process, and keeps it alive."""

import asyncio
import sys
from asyncio.subprocess import PIPE, Process
from contextlib import suppress

import msgspec

from benchbell.findings import Refused
from benchbell.planner.process import Answer, Question

COMMAND = (sys.executable, "-m", "benchbell.planner.process")

MOST_SECONDS = 60.0
"""A planner that has said nothing for so long is stuck."""


class PlannerClient:
    """One process, started with the first question; a new one when it died."""

    def __init__(self) -> None:
        self.process: Process | None = None
        self.turn = asyncio.Lock()

    async def ask(self, question: Question) -> Answer:
        """The answer. Raises Refused when the planner does not answer, or has a reason not to plan."""
        body = await asyncio.to_thread(msgspec.msgpack.encode, question)
        async with self.turn:
            try:
                async with asyncio.timeout(MOST_SECONDS + question.prove_s):
                    answer = await self.exchange(body)
            except (OSError, TimeoutError, asyncio.IncompleteReadError, msgspec.DecodeError) as error:
                await self.close()
                raise Refused("The planner does not answer.", "Ask again; all else goes on as before.") from error
            except asyncio.CancelledError:
                await self.close()  # its answer would be taken for that to the next question
                raise
        if answer.trouble:
            raise Refused(*answer.trouble)
        return answer

    async def exchange(self, body: bytes) -> Answer:
        """One question out, one answer in."""
        if self.process is None or self.process.returncode is not None:
            # A session of its own: Ctrl-C at the terminal is for the server, which ends it.
            self.process = await asyncio.create_subprocess_exec(
                *COMMAND, stdin=PIPE, stdout=PIPE, start_new_session=True
            )
        to, from_ = self.process.stdin, self.process.stdout
        assert to is not None and from_ is not None
        to.write(len(body).to_bytes(4, "big") + body)
        await to.drain()
        size = int.from_bytes(await from_.readexactly(4), "big")
        return msgspec.msgpack.decode(await from_.readexactly(size), type=Answer)

    async def close(self) -> None:
        """End the process."""
        process, self.process = self.process, None
        if process is not None and process.returncode is None:
            with suppress(ProcessLookupError):
                process.kill()
            await process.wait()
