"""The real server of the month: its store, its alarm clock; only the wire to the push service is made up."""

import asyncio

from alerts.month.phone import Steps
from benchbell.alerts.alarm_loop import AlarmLoop
from benchbell.alerts.bell import Bell
from benchbell.alerts.clock_tracker import ClockTracker
from benchbell.alerts.heartbeat import Heartbeat
from benchbell.alerts.push_queue import PushQueue
from benchbell.alerts.server_clock import ServerClock
from benchbell.alerts.webpush import key_from
from benchbell.settings import Settings
from benchbell.store.envelopes import all_readable, readable
from benchbell.store.record_types import Subscription
from benchbell.store.sqlite_records import open_records

KEY = key_from(b"k" * 40)


class SteadyMachine:
    """A machine whose clock nobody sets. now: the month's time, ms."""

    def __init__(self, now):
        self.now = now

    def __call__(self):
        return round(self.now())

    uptime = __call__

    def boot(self):
        return "the month's"

    def is_trusted(self):
        return False


class Server:
    """up: whether it runs. learnt: when each happening was committed. cut: the power failed during this round."""

    def __init__(self, folder, service, now):
        self.folder, self.service, self.now = folder, service, now
        self.settings = Settings(folder, (), folder, clock=lambda: round(now()), contact="mailto:a@b.example")
        self.up = Steps(False)
        self.learnt = {}
        self.error = Steps(0)
        self.restarts = -1
        self.cut = False

    async def start(self):
        self.records = await open_records(self.folder)
        # The program is cut off here, never the disk: what was committed need not be waited for.
        await self.records.database.writer.run(lambda db: db.execute("PRAGMA synchronous = OFF"))
        wake = asyncio.Event()
        clock = ServerClock(self.records, SteadyMachine(self.now), lambda n: bytes(n))
        await clock.start()
        tracker = ClockTracker(self.records, clock)
        push_queue = PushQueue(self.records, self.settings, KEY, wake.set)
        push_queue.push = self.push
        self.alarm_loop = AlarmLoop(self.records, clock, tracker, push_queue, Bell(), wake, Heartbeat(self.now))
        self.alarm_loop.longest_sleep_s = 1e9  # no timer runs here: time is told, and never jumps unseen
        await self.alarm_loop.restore()
        self.up.set(self.now(), True)
        self.restarts += 1

    async def push(self, *message):
        try:
            return await self.service.push(*message)
        except Exception:
            self.cut = True
            raise

    async def stop(self):
        """Whatever it had in mind is lost; what it wrote is on disk."""
        self.up.set(self.now(), False)
        self.cut = False
        self.alarm_loop.push_queue.threads.shutdown(wait=False)
        await self.records.close()

    async def subscribe(self, phone):
        new = Subscription(phone.device, f"https://push.example/{phone.device}", b"", b"", round(self.now()))
        await self.records.keep_subscription(new)

    async def round(self):
        """Rounds until nothing is under way; gives the moment of the next one."""
        while True:
            self.alarm_loop.wake.clear()
            wait = await self.alarm_loop.round()
            if self.alarm_loop.push_queue.deliveries:
                await asyncio.wait(list(self.alarm_loop.push_queue.deliveries.values()))
                await asyncio.sleep(0)  # let the callbacks run
            if self.cut or not self.alarm_loop.wake.is_set():
                return self.now() + max(1, round(wait * 1000))

    async def sync(self, phone, t, answered=True):
        """One round trip of a phone, whose answer may get lost; tells whether anything new was taken."""
        sent = phone.unsent[:500]
        taken_to = await self.records.take(phone.device, [body for _, body in sent])
        new = [h for _, body in sent if (h := readable(body)).id not in self.learnt]
        self.learnt.update((h.id, t) for h in new)
        if answered:
            phone.unsent = [(n, body) for n, body in phone.unsent if n > taken_to]
            stretch = await self.records.slice_after(phone.position, 100_000, most_bytes=10**9)
            for happening in all_readable(stretch.listed):
                phone.learn(t, happening)
            phone.position = stretch.position
            phone.set_error(t, phone.best_error)
        return bool(new)
