"""The server's alarm loop: sleeps until the next ring or until something was committed, then makes a round.

A round reads what is new, rings the server's own bell, and starts pushes to the devices that lack a ring.
"""

import asyncio
from collections.abc import Sequence
from functools import partial

import structlog

from benchbell.alerts.bell import Bell
from benchbell.alerts.clock_tracker import ClockTracker
from benchbell.alerts.heartbeat import Heartbeat
from benchbell.alerts.push_queue import PushQueue
from benchbell.alerts.schedule import Alarm, due, next_at
from benchbell.alerts.server_clock import ServerClock
from benchbell.alerts.undelivered import undelivered
from benchbell.bench.happenings import SERVER
from benchbell.bounded_wait import any_set_within
from benchbell.store.records import Records

log = structlog.get_logger()

LONGEST_SLEEP_S = 10.0
"""The loop's timer notices neither that the machine slept nor that its clock was set; this bounds the delay."""

DEBOUNCE_S = 0.1
"""A round begins once no news came for this long, so that a phone that sends a week's work is served first."""

LONGEST_DEBOUNCE_S = 1.0
"""A round begins after this time, however much news comes."""

RETRY_S = 5.0
"""Wait after a round that failed."""

BELL_ENDS_S = 10.0
"""When the server stops: the longest that it waits for a ring that sounds."""


class AlarmLoop:
    """Rings on time. clock: server time in ms. wake: set it to have a round at once. news: set it after a commit.

    heartbeat: told of every whole round.
    longest_sleep_s: the longest wait between two rounds. bell_task: the bell's current rings; None while it is free.
    """

    def __init__(
        self,
        records: Records,
        clock: ServerClock,
        clock_tracker: ClockTracker,
        push_queue: PushQueue,
        bell: Bell,
        wake: asyncio.Event,
        heartbeat: Heartbeat,
        longest_sleep_s: float = LONGEST_SLEEP_S,
    ) -> None:
        self.records = records
        self.clock = clock
        self.clock_tracker = clock_tracker
        self.push_queue = push_queue
        self.bell = bell
        self.wake = wake
        self.heartbeat = heartbeat
        self.longest_sleep_s = longest_sleep_s
        self.news = asyncio.Event()
        self.failure = ""
        self.rounds: asyncio.Task[None] | None = None
        self.bell_task: asyncio.Task[None] | None = None
        self.is_closing = False
        self.lock = asyncio.Lock()

    def start(self) -> None:
        """Start the rounds in a task; `close` ends it."""
        self.rounds = asyncio.create_task(self.run())

    async def run(self) -> None:
        """Make rounds until cancelled. A round that fails is logged and tried again after RETRY_S."""
        loop = asyncio.get_running_loop()
        await self.restore()
        while True:
            self.wake.clear()
            self.news.clear()
            try:
                wait = await self.round()
                self.heartbeat.beat()
                self.failure = ""
            except Exception as error:
                self.note_failure(error)
                wait = RETRY_S
            until = loop.time() + wait
            await any_set_within((self.wake, self.news), wait)
            await self.debounce(min(LONGEST_DEBOUNCE_S, until - loop.time()))

    def note_failure(self, error: Exception) -> None:
        """Log why a round failed, once as long as it stays the same: rounds are tried again every few seconds."""
        if repr(error) != self.failure:
            self.failure = repr(error)
            log.error("alarm round failed; it is tried again until it succeeds", exc_info=error)

    async def debounce(self, longest_s: float) -> None:
        """Wait until no news came for DEBOUNCE_S, at most longest_s seconds; `wake` ends the wait too."""
        loop = asyncio.get_running_loop()
        until = loop.time() + longest_s
        while self.news.is_set() and not self.wake.is_set() and loop.time() < until:
            self.news.clear()
            await any_set_within((self.wake, self.news), min(DEBOUNCE_S, until - loop.time()))

    async def restore(self) -> None:
        """Read which rings were delivered before the last stop, and forget those too old to matter.

        Tried again after RETRY_S until it can be read: without it every ring would be pushed a second time.
        """
        delivered = self.push_queue.delivered
        while True:
            try:
                await delivered.read()
                await self.clock_tracker.check_clock()
                alarms = await self.clock_tracker.refresh()
                await delivered.forget([alarm.key for alarm in alarms], self.clock())
                return
            except Exception as error:
                log.error("alarms cannot start", exc_info=error)
                await asyncio.sleep(RETRY_S)

    async def round(self) -> float:
        """Deliver what is due; gives the seconds until the next round. Raises StoreError."""
        async with self.lock:
            await self.clock_tracker.check_clock()
            now = self.clock()  # read before the clocks: a ring acknowledged in between must not go out
            alarms = await self.clock_tracker.refresh()
            ringing = due(alarms, now)
            self.ring_bell_for(ringing)
            await self.push_queue.deliver(ringing, alarms, now)
            await self.push_queue.delivered.write(now)
        moments = (next_at(alarms, now), self.push_queue.resumes_at(now))
        soonest = min((at for at in moments if at is not None), default=None)
        if soonest is None:
            return self.longest_sleep_s
        return min(self.longest_sleep_s, max(0, soonest - self.clock()) / 1000)

    def ring_bell_for(self, ringing: Sequence[Alarm]) -> None:
        """Start the bell for the rings it has not rung yet, unless it is busy; does not wait for it."""
        wanted = undelivered(ringing, self.push_queue.delivered.to(SERVER), 0)
        if wanted and self.bell.is_there and self.bell_task is None and not self.is_closing:
            self.bell_task = asyncio.create_task(self.ring_bell(wanted))
            self.bell_task.add_done_callback(self.bell_ended)

    async def ring_bell(self, wanted: Sequence[Alarm]) -> None:
        """Ring one alarm after the other, until the server stops.

        A ring is noted as delivered once the bell sounds, in memory where the disk is full, and not only when it has
        ended: a bell that always fails must not ring for ever.
        """
        for alarm in wanted:
            if self.is_closing:
                return
            now = self.clock()
            await self.bell.ring(alarm, now, partial(self.push_queue.delivered.note, SERVER, alarm.key, now))

    def bell_ended(self, task: asyncio.Task[None]) -> None:
        """Free the bell for further rings, and log what went wrong."""
        self.bell_task = None
        if not task.cancelled() and (error := task.exception()) is not None:
            log.error("bell task failed", exc_info=error)
        self.wake.set()

    async def close(self) -> None:
        """Stop the rounds. A ring that sounds may do so to its end, at most BELL_ENDS_S more; further ones wait."""
        self.is_closing = True
        if self.bell_task is not None:
            await asyncio.wait([self.bell_task], timeout=BELL_ENDS_S)
        tasks = [task for task in (self.rounds, self.bell_task) if task is not None]
        for task in tasks:
            task.cancel()
        if tasks:
            await asyncio.wait(tasks)
