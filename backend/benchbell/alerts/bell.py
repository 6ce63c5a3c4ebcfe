"""The server's own bell: a command to run when a clock is due, and the terminal's bell."""

import asyncio
import os
import shlex
import shutil
import sys
from datetime import UTC, datetime
from typing import TextIO

import structlog

from benchbell.alerts.schedule import Alarm, late_ms
from benchbell.alerts.words import plain
from benchbell.bench.clock_kinds import ring_text
from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused

log = structlog.get_logger()

LONGEST_SECONDS = 30
"""A bell that rings longer is stopped, so that the next one is heard."""


def command_of(text: str) -> tuple[str, ...]:
    """The words of `--bell`, as a shell splits them; no shell ever runs them. Raises Refused."""
    try:
        words = tuple(shlex.split(text))
    except ValueError as error:
        raise Refused(f"The bell {text!r} is not of its form ({error}).", "Close every quote.") from error
    if not words or shutil.which(words[0]) is None:
        raise Refused(f"The bell {text!r} names no program here.", "Give the path of one, or see that it is on PATH.")
    return words


def terminal() -> TextIO | None:
    """The terminal the server was started in, if it was."""
    return sys.stderr if sys.stderr is not None and sys.stderr.isatty() else None


class Bell:
    """What rings in the workshop itself."""

    def __init__(self, command: tuple[str, ...] = (), screen: TextIO | None = None) -> None:
        self.command = command
        self.screen = screen

    @property
    def is_there(self) -> bool:
        """Whether there is anything to ring."""
        return bool(self.command) or self.screen is not None

    async def ring(self, alarm: Alarm, now: int) -> None:
        """Ring once. What the command does wrong goes into the log, and stops nobody."""
        if self.screen is not None:
            self.screen.write(f"\a{line_of(alarm, now)}\n")
            self.screen.flush()
        if self.command:
            await run(self.command, environment(alarm, now))


def line_of(alarm: Alarm, now: int) -> str:
    """A ring in one line."""
    minutes = late_ms(alarm, now) // MINUTE_MS
    late = f" ({minutes} min late)" if minutes else ""
    return f"{ring_text(alarm.kind, alarm.stage).title}: {plain(alarm.title)}, {plain(alarm.name)}{late}"


def environment(alarm: Alarm, now: int) -> dict[str, str]:
    """What the command may want to know. Words from a recipe come in here alone, never among its arguments."""
    words = ring_text(alarm.kind, alarm.stage)
    told = {
        "TITLE": f"{words.title}: {plain(alarm.title)}",
        "TEXT": words.text,
        "BUILD": plain(alarm.name),
        "OPERATION": plain(alarm.title),
        "CLOCK": alarm.kind,
        "RING": alarm.stage,
        "DUE": datetime.fromtimestamp(alarm.due / 1000, UTC).isoformat(timespec="seconds"),
        "LATE_SECONDS": str(late_ms(alarm, now) // 1000),
    }
    return {f"BENCHBELL_{name}": value for name, value in told.items()}


async def run(command: tuple[str, ...], told: dict[str, str]) -> None:
    """Run the command, and wait for it a while."""
    try:
        process = await asyncio.create_subprocess_exec(
            *command, stdin=asyncio.subprocess.DEVNULL, env={**os.environ, **told}
        )
    except OSError as error:
        log.error("bell cannot run", command=command[0], why=error.strerror)
        return
    try:
        async with asyncio.timeout(LONGEST_SECONDS):
            code = await process.wait()
        if code:
            log.error("bell failed", command=command[0], code=code)
    except TimeoutError:
        log.error("bell stopped", command=command[0], why=f"it rang longer than {LONGEST_SECONDS} s")
    finally:
        if process.returncode is None:
            process.kill()
            await process.wait()
