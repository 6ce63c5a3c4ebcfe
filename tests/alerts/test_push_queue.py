"""Who is pushed to, where two rounds of the alarm clock come close upon one another."""

import asyncio

from benchbell.alerts.push_queue import PushQueue
from benchbell.alerts.schedule import Alarm
from benchbell.store.record_types import Subscription

DEVICE = Subscription("a" * 16, "https://push.example/1", b"", b"", 0, None, "")
RING = Alarm("stand", "Stand", "A/glue", "Glue", "in-clamps", "off", "in-clamps|off|1", 1, 2, 2, False)


class Records:
    """Give what stood there before, however late."""

    def __init__(self):
        self.asked, self.answer = asyncio.Event(), asyncio.Event()

    async def subscriptions(self):
        self.asked.set()
        await self.answer.wait()
        return [DEVICE]


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
