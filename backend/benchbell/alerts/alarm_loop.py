"""The server's running alarm clock: sleeps until the next ring, wakes when anything new comes in.

Each round it reads what came, rings the server's own bell, and has the devices told that were not yet.
"""

import asyncio
from collections.abc import Callable, Sequence

import structlog

from benchbell.alerts.bell import Bell
from benchbell.alerts.clock_tracker import ClockTracker
from benchbell.alerts.push_queue import PushQueue
from benchbell.alerts.schedule import Alarm, due, next_at
from benchbell.alerts.undelivered import untold
from benchbell.bench.happenings import SERVER
from benchbell.bounded_wait import any_set_within
from benchbell.store.records import Records

log = structlog.get_logger()

LONGEST_SLEEP_S = 10.0
"""A machine that slept, or whose clock was set, is found out this soon: the loop's own timer knows neither."""

LULL_S = 0.1
"""News is looked at when no more came for so long: phones that send a week's work are not kept waiting for it."""

LONGEST_LULL_S = 1.0
"""But no later than this, however much comes."""

AFTER_TROUBLE_S = 5.0


class AlarmLoop:
    """Rings on time. clock: server time in ms. wake: set it to have a round at once. news: set it after a commit.

    longest_sleep_s: at the most between two looks at the clock.
    """

    def __init__(
        self,
        records: Records,
        clock: Callable[[], int],
        clock_tracker: ClockTracker,
        push_queue: PushQueue,
        bell: Bell,
        wake: asyncio.Event,
        longest_sleep_s: float = LONGEST_SLEEP_S,
    ) -> None:
        self.records = records
        self.clock = clock
        self.clock_tracker = clock_tracker
        self.push_queue = push_queue
        self.bell = bell
        self.wake = wake
        self.longest_sleep_s = longest_sleep_s
        self.news = asyncio.Event()
        self.rounds: asyncio.Task[None] | None = None
        self.at_bell: asyncio.Task[None] | None = None
        self.turn = asyncio.Lock()

    def start(self) -> None:
        """Begin the rounds in a task of their own, which `close` ends."""
        self.rounds = asyncio.create_task(self.run())

    async def run(self) -> None:
        """Round after round. A round that fails is told in the log and tried again."""
        loop = asyncio.get_running_loop()
        await self.remember()
        while True:
            self.wake.clear()
            self.news.clear()
            try:
                wait = await self.round()
            except Exception as error:
                log.error("alarms", exc_info=error)
                wait = AFTER_TROUBLE_S
            until = loop.time() + wait
            await any_set_within((self.wake, self.news), wait)
            await self.lull(min(LONGEST_LULL_S, until - loop.time()))

    async def lull(self, longest_s: float) -> None:
        """While more and more news comes, wait for its end, but not for long; the rope ends it too."""
        loop = asyncio.get_running_loop()
        until = loop.time() + longest_s
        while self.news.is_set() and not self.wake.is_set() and loop.time() < until:
            self.news.clear()
            await any_set_within((self.wake, self.news), min(LULL_S, until - loop.time()))

    async def remember(self) -> None:
        """Who was told what before the server stopped."""
        while True:
            try:
                self.push_queue.told = await self.records.delivered()
                alarms = await self.clock_tracker.follow()
                keys = [alarm.key for alarm in alarms]
                now = self.clock()
                await self.records.forget_delivered(keys, now)
                return
            except Exception as error:
                log.error("alarms cannot begin", exc_info=error)
                await asyncio.sleep(AFTER_TROUBLE_S)

    async def round(self) -> float:
        """Do what is due; gives how many seconds to sleep."""
        async with self.turn:
            now = self.clock()  # before what is known by then: a ring heard meanwhile must not go out
            alarms = await self.clock_tracker.follow()
            ringing = due(alarms, now)
            await self.push_queue.tell(ringing, alarms, now)
            self.to_bell(ringing)
        moments = (next_at(alarms, now), self.push_queue.resumes_at(now))
        soonest = min((at for at in moments if at is not None), default=None)
        if soonest is None:
            return self.longest_sleep_s
        return min(self.longest_sleep_s, max(0, soonest - self.clock()) / 1000)

    def to_bell(self, ringing: Sequence[Alarm]) -> None:
        """Ring the server's own bell for what it has not rung for yet; nobody waits for it."""
        wanted = untold(ringing, self.push_queue.told.get(SERVER, ()), 0)
        if wanted and self.bell.is_there and self.at_bell is None:
            self.at_bell = asyncio.create_task(self.ring_bell(wanted))
            self.at_bell.add_done_callback(self.after_bell)

    async def ring_bell(self, wanted: Sequence[Alarm]) -> None:
        """One after the other. A ring counts as told before it is heard: a bell that fails must not ring for ever."""
        for alarm in wanted:
            now = self.clock()
            self.push_queue.told.setdefault(SERVER, set()).add(alarm.key)
            await self.records.note_delivered(SERVER, [alarm.key], now)
            await self.bell.ring(alarm, now)

    def after_bell(self, task: asyncio.Task[None]) -> None:
        """Free for the next."""
        self.at_bell = None
        if not task.cancelled() and (error := task.exception()) is not None:
            log.error("bell failed", exc_info=error)
        self.wake.set()

    async def close(self) -> None:
        """Stop the rounds and the bell. A ring that the bell did not sound counts as rung."""
        tasks = [task for task in (self.rounds, self.at_bell) if task is not None]
        for task in tasks:
            task.cancel()
        if tasks:
            await asyncio.wait(tasks)
