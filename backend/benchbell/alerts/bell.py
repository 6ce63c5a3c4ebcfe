"""The server's own bell: a command that runs when a clock is due, and the terminal's bell."""

import asyncio
import os
import shlex
import shutil
import sys
from asyncio.subprocess import Process
from collections.abc import Awaitable, Callable
from contextlib import suppress
from datetime import UTC
from typing import TextIO

import structlog

from benchbell.alerts.schedule import Alarm, late_ms
from benchbell.alerts.words import plain
from benchbell.bench.clock_kinds import ring_text
from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.moments import date_of

log = structlog.get_logger()

LONGEST_SECONDS = 30
"""A command that runs longer is stopped, so that the next ring is heard."""


def command_of(text: str) -> tuple[str, ...]:
    """The words of `--bell`, split as a shell splits them; no shell runs them.

    Raises Refused for an unclosed quote, and for a program that is not there.
    """
    try:
        words = tuple(shlex.split(text))
    except ValueError as error:
        raise Refused(f"The bell command {text!r} cannot be read ({error}).", "Close every quote.") from error
    if not words or shutil.which(words[0]) is None:
        raise Refused(
            f"The bell command {text!r} names no program on this machine.", "Give its path, or put it on PATH."
        )
    return words


def terminal() -> TextIO | None:
    """The terminal that the server was started in; None when it was started without one."""
    return sys.stderr if sys.stderr is not None and sys.stderr.isatty() else None


async def nothing() -> None:
    """Does nothing."""


class Bell:
    """Rings in the workshop. command: its words, () for none. screen: the terminal, or None."""

    def __init__(self, command: tuple[str, ...] = (), screen: TextIO | None = None) -> None:
        self.command = command
        self.screen = screen

    @property
    def is_there(self) -> bool:
        """Whether there is a command or a terminal to ring with."""
        return bool(self.command) or self.screen is not None

    async def ring(self, alarm: Alarm, now: int, begun: Callable[[], Awaitable[None]] = nothing) -> None:
        """Ring once and wait for the command. Its failures are logged and never raised.

        begun: awaited once the command runs, or cannot.
        """
        if self.screen is not None:
            with suppress(OSError):  # a terminal that was closed meanwhile
                self.screen.write(f"\a{line_of(alarm, now)}\n")
                self.screen.flush()
        process = await started(self.command, environment(alarm, now)) if self.command else None
        await begun()
        if process is not None:
            await ended(process, self.command[0])


def line_of(alarm: Alarm, now: int) -> str:
    """A ring as one line of text. now: ms."""
    minutes = late_ms(alarm, now) // MINUTE_MS
    late = f" ({minutes} min late)" if minutes else ""
    return (
        f"{ring_text(alarm.kind, alarm.stage, alarm.unclamped).title}: {plain(alarm.title)}, {plain(alarm.name)}{late}"
    )


def environment(alarm: Alarm, now: int) -> dict[str, str]:
    """Environment variables for the command. Text from a recipe is passed only here, never as an argument."""
    words = ring_text(alarm.kind, alarm.stage, alarm.unclamped)
    variables = {
        "TITLE": f"{words.title}: {plain(alarm.title)}",
        "TEXT": " ".join(filter(None, (words.text, alarm.remark))),
        "BUILD": plain(alarm.name),
        "OPERATION": plain(alarm.title),
        "CLOCK": alarm.kind,
        "RING": alarm.stage,
        "DUE": date_of(alarm.due, UTC).isoformat(timespec="seconds"),
        "LATE_SECONDS": str(late_ms(alarm, now) // 1000),
    }
    return {f"BENCHBELL_{name}": value for name, value in variables.items()}


async def started(command: tuple[str, ...], variables: dict[str, str]) -> Process | None:
    """The command's process, begun with these environment variables; None when it cannot run, which is logged."""
    try:
        return await asyncio.create_subprocess_exec(
            *command, stdin=asyncio.subprocess.DEVNULL, env={**os.environ, **variables}
        )
    except OSError as error:
        log.error("bell command cannot run", command=command[0], why=error.strerror)
        return None


async def ended(process: Process, name: str) -> None:
    """Wait for the end of the command of this name; stop it after LONGEST_SECONDS. Failures are logged."""
    try:
        async with asyncio.timeout(LONGEST_SECONDS):
            code = await process.wait()
        if code:
            log.error("bell command failed", command=name, code=code)
    except TimeoutError:
        log.error("bell command stopped", command=name, why=f"it ran longer than {LONGEST_SECONDS} s")
    finally:
        if process.returncode is None:
            process.kill()
            await process.wait()
