import asyncio

from benchbell.bounded_wait import any_set_within, set_within


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


def test_of_two_events_either_ends_the_wait_and_nobody_waits_on():
    async def both(first: bool) -> int:
        events = asyncio.Event(), asyncio.Event()
        task = asyncio.create_task(any_set_within(events, 1000))
        await asyncio.sleep(0)
        events[first].set()
        await task
        await asyncio.sleep(0)
        return len(asyncio.all_tasks())

    assert [1, 1] == [asyncio.run(both(first)) for first in (True, False)]


def test_a_wait_of_no_time_is_over_at_once():
    async def waited() -> bool:
        event = asyncio.Event()
        await any_set_within((event,), -0.5)
        return event.is_set()

    assert not asyncio.run(waited())
