import asyncio

from benchbell.web.waiting import set_within


def test_it_tells_whether_the_event_came_in_time():
    async def both() -> tuple[bool, bool]:
        event = asyncio.Event()
        late = await set_within(event, 0.01)
        event.set()
        return late, await set_within(event, 0.01)

    assert asyncio.run(both()) == (False, True)


def test_a_cancellation_in_the_same_turn_as_the_event_is_not_lost():
    async def stopped() -> bool:
        event = asyncio.Event()
        task = asyncio.create_task(set_within(event, 10))
        await asyncio.sleep(0)
        event.set()
        task.cancel()
        await asyncio.wait([task])
        return task.cancelled()

    assert asyncio.run(stopped())
