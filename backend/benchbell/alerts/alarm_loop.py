"""The server's running alarm clock: sleeps until the next ring, wakes when anything new comes in.

Each round it reads what came, rings the server's own bell, and has the devices told that were not yet.
"""

import asyncio
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from functools import partial
from pathlib import Path
from typing import cast

import structlog
from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)
from litestar import Litestar
from litestar.datastructures import State

from benchbell.alerts.bell import Bell, terminal
from benchbell.alerts.clock_tracker import ClockTracker
from benchbell.alerts.push_queue import PushQueue
from benchbell.alerts.schedule import Alarm, due, next_at
from benchbell.alerts.undelivered import untold
from benchbell.alerts.webpush import CURVE, key_from
from benchbell.bench.happenings import SERVER
from benchbell.bounded_wait import any_set_within
from benchbell.findings import Refused
from benchbell.settings import Settings
from benchbell.store.alerts import forget_told, note_told, told
from benchbell.store.database import Database
from benchbell.store.photos import write_whole

log = structlog.get_logger()

KEY_FILE = "push.key"
"""In the data folder: what this server signs its pushes with. Without it every phone must subscribe again."""

KEY_LOST = "Restore it from a backup, or move it away; then each phone has to switch notifications off and on again."

LONGEST_SLEEP_S = 10.0
"""A machine that slept, or whose clock was set, is found out this soon: the loop's own timer knows neither."""

LULL_S = 0.1
"""News is looked at when no more came for so long: phones that send a week's work are not kept waiting for it."""

LONGEST_LULL_S = 1.0
"""But no later than this, however much comes."""

AFTER_TROUBLE_S = 5.0


class AlarmLoop:
    """The alarm clock. longest_sleep_s: between two looks at the clock.

    rope: set it to have a round at once. news: set it when something came in.
    """

    def __init__(self, database: Database, settings: Settings, key: EllipticCurvePrivateKey, bell: Bell) -> None:
        self.database = database
        self.settings = settings
        self.rope = asyncio.Event()
        self.news = asyncio.Event()
        self.bell = bell
        self.clock_tracker = ClockTracker(database, settings.clock)
        self.push_queue = PushQueue(database, settings, key, self.rope.set)
        self.at_bell: asyncio.Task[None] | None = None
        self.turn = asyncio.Lock()
        self.longest_sleep_s = LONGEST_SLEEP_S

    async def run(self) -> None:
        """Round after round. A round that fails is told in the log and tried again."""
        loop = asyncio.get_running_loop()
        await self.remember()
        while True:
            self.rope.clear()
            self.news.clear()
            try:
                wait = await self.round()
            except Exception as error:
                log.error("alarms", exc_info=error)
                wait = AFTER_TROUBLE_S
            until = loop.time() + wait
            await any_set_within((self.rope, self.news), wait)
            await self.lull(min(LONGEST_LULL_S, until - loop.time()))

    async def lull(self, longest_s: float) -> None:
        """While more and more news comes, wait for its end, but not for long; the rope ends it too."""
        loop = asyncio.get_running_loop()
        until = loop.time() + longest_s
        while self.news.is_set() and not self.rope.is_set() and loop.time() < until:
            self.news.clear()
            await any_set_within((self.rope, self.news), min(LULL_S, until - loop.time()))

    async def remember(self) -> None:
        """Who was told what before the server stopped."""
        while True:
            try:
                self.push_queue.told = await self.database.read(told)
                alarms = await self.clock_tracker.follow()
                keys = [alarm.key for alarm in alarms]
                now = self.settings.clock()
                await self.database.write(partial(forget_told, ringing=keys, now_ms=now))
                return
            except Exception as error:
                log.error("alarms cannot begin", exc_info=error)
                await asyncio.sleep(AFTER_TROUBLE_S)

    async def round(self) -> float:
        """Do what is due; gives how many seconds to sleep."""
        async with self.turn:
            now = self.settings.clock()  # before what is known by then: a ring heard meanwhile must not go out
            alarms = await self.clock_tracker.follow()
            ringing = due(alarms, now)
            await self.push_queue.tell(ringing, alarms, now)
            self.to_bell(ringing)
        moments = (next_at(alarms, now), self.push_queue.resumes_at(now))
        soonest = min((at for at in moments if at is not None), default=None)
        if soonest is None:
            return self.longest_sleep_s
        return min(self.longest_sleep_s, max(0, soonest - self.settings.clock()) / 1000)

    def to_bell(self, ringing: Sequence[Alarm]) -> None:
        """Ring the server's own bell for what it has not rung for yet; nobody waits for it."""
        wanted = untold(ringing, self.push_queue.told.get(SERVER, ()), 0)
        if wanted and self.bell.is_there and self.at_bell is None:
            self.at_bell = asyncio.create_task(self.ring_bell(wanted))
            self.at_bell.add_done_callback(self.after_bell)

    async def ring_bell(self, wanted: Sequence[Alarm]) -> None:
        """One after the other. A ring counts as told before it is heard: a bell that fails must not ring for ever."""
        for alarm in wanted:
            now = self.settings.clock()
            self.push_queue.told.setdefault(SERVER, set()).add(alarm.key)
            await self.database.write(partial(note_told, device=SERVER, keys=[alarm.key], now_ms=now))
            await self.bell.ring(alarm, now)

    def after_bell(self, task: asyncio.Task[None]) -> None:
        """Free for the next."""
        self.at_bell = None
        if not task.cancelled() and (error := task.exception()) is not None:
            log.error("bell failed", exc_info=error)
        self.rope.set()

    async def close(self) -> None:
        """Stop, once what is under way had its time."""
        if self.at_bell is not None:
            self.at_bell.cancel()
        await self.push_queue.close()


def alarm_loop_of(state: State) -> AlarmLoop:
    """The running alarm clock."""
    return cast(AlarmLoop, state.alarm_loop)


@asynccontextmanager
async def ringing(app: Litestar) -> AsyncIterator[None]:
    """The alarm clock runs while the server does. The records must be open. Raises Refused."""
    settings, database, listeners = app.state.settings, app.state.database, app.state.listeners
    alarm_loop = AlarmLoop(database, settings, own_key(settings), Bell(settings.bell, terminal()))
    app.state.alarm_loop = alarm_loop
    listeners.bells[alarm_loop.news] = SERVER
    task = asyncio.create_task(alarm_loop.run())
    try:
        yield
    finally:
        listeners.bells.pop(alarm_loop.news, None)
        task.cancel()
        await asyncio.wait([task])
        await alarm_loop.close()


def own_key(settings: Settings) -> EllipticCurvePrivateKey:
    """The server's push key, made on the first run, for this user's eyes alone. Raises Refused."""
    file = settings.data / KEY_FILE
    if not file.exists():
        made = key_from(settings.random_bytes(40))
        write_whole(file, made.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()))
    return read_key(file)


def read_key(file: Path) -> EllipticCurvePrivateKey:
    """The key in a file. Raises Refused."""
    try:
        key = load_pem_private_key(file.read_bytes(), None)
    except (OSError, ValueError, TypeError) as error:
        raise Refused(f"{file} cannot be read ({error}).", KEY_LOST) from error
    if not isinstance(key, EllipticCurvePrivateKey) or key.curve.name != CURVE.name:
        raise Refused(f"{file} holds no key of the curve P-256.", KEY_LOST)
    return key
