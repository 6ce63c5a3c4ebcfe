"""Sends questions to the planner process, and starts it again when it died."""

import asyncio
import sys
from asyncio.subprocess import PIPE, Process
from contextlib import suppress

import msgspec

from benchbell.findings import Refused
from benchbell.planner.process import PlannerAnswer, PlannerQuestion

COMMAND = (sys.executable, "-m", "benchbell.planner.process")

MOST_SECONDS = 60.0
"""A planner process that does not answer in this time is stuck."""


class PlannerClient:
    """One planner process, started with the first question, and again after it died."""

    def __init__(self) -> None:
        self.process: Process | None = None
        self.lock = asyncio.Lock()

    async def ask(self, question: PlannerQuestion) -> PlannerAnswer:
        """The answer; questions wait for each other. Raises Refused when no answer comes, or none is possible."""
        body = await asyncio.to_thread(msgspec.msgpack.encode, question)
        async with self.lock:
            try:
                async with asyncio.timeout(MOST_SECONDS + question.prove_s):
                    answer = await self.exchange(body)
            except (OSError, TimeoutError, asyncio.IncompleteReadError, msgspec.DecodeError) as error:
                await self.close()
                raise Refused("The planner does not answer.", "Ask again; everything else still works.") from error
            except asyncio.CancelledError:
                await self.close()  # otherwise its answer would be read as that to the next question
                raise
        if answer.refusal:
            raise Refused(*answer.refusal)
        return answer

    async def exchange(self, body: bytes) -> PlannerAnswer:
        """Send one encoded question, read one answer. Raises OSError, IncompleteReadError, DecodeError."""
        if self.process is None or self.process.returncode is not None:
            # A session of its own, so that Ctrl-C at the terminal reaches only the server, which ends this process.
            self.process = await asyncio.create_subprocess_exec(
                *COMMAND, stdin=PIPE, stdout=PIPE, start_new_session=True
            )
        to, from_ = self.process.stdin, self.process.stdout
        assert to is not None and from_ is not None
        to.write(len(body).to_bytes(4, "big") + body)
        await to.drain()
        size = int.from_bytes(await from_.readexactly(4), "big")
        return msgspec.msgpack.decode(await from_.readexactly(size), type=PlannerAnswer)

    async def close(self) -> None:
        """End the process."""
        process, self.process = self.process, None
        if process is not None and process.returncode is None:
            with suppress(ProcessLookupError):
                process.kill()
            await process.wait()
