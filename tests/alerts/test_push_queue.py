"""Who is pushed to and when: rounds close upon one another, pushes that fail, and a server that stops meanwhile."""

import asyncio
from types import SimpleNamespace

from benchbell.alerts.push_queue import PushQueue, PushResult
from benchbell.alerts.schedule import Alarm
from benchbell.durations import SECOND_MS
from benchbell.store.record_types import Subscription
from msgspec.structs import replace
from scene import Clock

DEVICE = Subscription("a" * 16, "https://push.example/1", b"", b"", 0, None, "")
RING = Alarm("stand", "Stand", "A/glue", "Glue", "in-clamps", "off", "in-clamps|off|1", 1, 2, 2, False)
OTHER_RING = replace(RING, operation="B/glue")
ACCEPTED, FAILED = PushResult("accepted"), PushResult("later", why="away")


class Records:
    """Give what stood there before, however late."""

    def __init__(self):
        self.asked, self.answer = asyncio.Event(), asyncio.Event()

    async def subscriptions(self):
        self.asked.set()
        await self.answer.wait()
        return [DEVICE]


class Kept:
    """Records with one subscribed device; they list the rings that reached it."""

    def __init__(self):
        self.reached = []

    async def subscriptions(self):
        return [DEVICE]

    async def note_delivered(self, device, keys, now):
        self.reached += keys

    async def note_not_delivered(self, device, why):
        assert why


class Queue(PushQueue):
    """A queue whose pushes are answered by a function of the text's number, without a network."""

    def __init__(self, answer):
        self.clock, self.pushed, self.woken = Clock(), 0, 0
        super().__init__(Kept(), SimpleNamespace(clock=self.clock), None, self.note_wake)
        self.answer = answer

    def note_wake(self):
        self.woken += 1

    async def push(self, device, topic, ttl, text):
        self.pushed += 1
        return await self.answer()

    async def round(self, *ringing):
        """One round, and the end of its pushes."""
        await self.deliver(ringing, ringing, self.clock())
        await asyncio.gather(*self.deliveries.values(), return_exceptions=True)
        await asyncio.sleep(0)

    def wait_s(self):
        """Seconds until the device may be pushed to again; 0 where it may now."""
        return max(0, self.paused_until(DEVICE.device) - self.clock()) / SECOND_MS


def answering(*results):
    """A push service that gives these answers in turn; an exception is raised."""
    left = list(results)

    async def answer():
        if isinstance(result := left.pop(0), Exception):
            raise result
        return result

    return answer


def test_a_device_whose_turn_ends_while_the_records_are_read_is_not_begun_again():
    async def run():
        records, pushed = Records(), []
        push_queue = PushQueue(records, None, None, lambda: None)
        push_queue.push_rings = lambda device, *_: asyncio.sleep(0, pushed.append(device))
        push_queue.deliveries[DEVICE.device] = asyncio.create_task(asyncio.sleep(0))
        telling = asyncio.create_task(push_queue.deliver([RING], [RING], 3))
        await records.asked.wait()
        push_queue.deliveries.clear()  # its subscription was dropped after the read began
        records.answer.set()
        await telling
        first = list(pushed)
        await push_queue.deliver([RING], [RING], 3)
        return first, pushed

    assert ([], [DEVICE]) == asyncio.run(run())


def test_a_ring_that_is_acknowledged_while_another_is_pushed_is_not_pushed():
    async def acknowledged():
        await queue.deliver([], [], queue.clock())
        return ACCEPTED

    async def run():
        await queue.round(RING, OTHER_RING)
        return queue.pushed

    queue = Queue(acknowledged)

    assert 1 == asyncio.run(run())


def test_waits_grow_with_failures_in_a_row_and_begin_again_after_a_success():
    async def run():
        waits = []
        for ring in (RING, RING, RING, RING, OTHER_RING):
            await queue.round(ring)
            waits.append(queue.wait_s())
            queue.clock.ms += 60 * SECOND_MS
        return waits

    queue = Queue(answering(FAILED, FAILED, FAILED, ACCEPTED, FAILED))

    assert [2, 4, 8, 0, 2] == asyncio.run(run())


def test_a_push_that_breaks_is_tried_again_after_a_wait_and_the_round_learns_of_it():
    async def run():
        await queue.round(RING)
        first = queue.wait_s(), queue.resumes_at(queue.clock()) - queue.clock(), queue.woken
        await queue.round(RING)
        queue.clock.ms += 2 * SECOND_MS
        await queue.round(RING)
        return first, queue.pushed, queue.records.reached

    queue = Queue(answering(ZeroDivisionError(), ACCEPTED))

    assert ((2, 2 * SECOND_MS, 1), 2, [RING.key]) == asyncio.run(run())


def test_a_push_under_way_when_the_server_stops_is_recorded():
    async def slow():
        await asyncio.sleep(0.2)
        return ACCEPTED

    async def run():
        await queue.deliver([RING], [RING], queue.clock())
        await queue.close()
        return queue.records.reached

    queue = Queue(slow)

    assert [RING.key] == asyncio.run(run())
