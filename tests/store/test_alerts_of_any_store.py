"""Push subscriptions, deliveries, calendar feeds and entries, as any store must keep them."""

import itertools

from benchbell.bench.happenings import SERVER
from benchbell.store.record_types import Feed, Subscription
from scene import OTHER, PHONE

DAY = 86_400_000
RING, OTHER_RING = ("stand", "A/glue", "clamps|0"), ("stand", "A/glue", "rest|0")


def counting():
    """Random bytes that differ each time."""
    numbers = itertools.count(1)
    return lambda length: next(numbers).to_bytes(length)


def subscription(device=PHONE, endpoint="https://push.example/1", since_ms=1000):
    return Subscription(device, endpoint, b"p" * 65, b"a" * 16, since_ms)


def test_a_new_subscription_replaces_the_devices_last_and_keeps_its_beginning(ask):
    async def work(records):
        await records.keep_subscription(subscription())
        await records.note_not_delivered(PHONE, "The push service answered 500.")
        await records.keep_subscription(subscription(endpoint="https://push.example/2", since_ms=2000))
        return await records.subscriptions()

    assert [subscription(endpoint="https://push.example/2")] == ask(work)


def test_an_endpoint_belongs_to_the_device_that_brought_it_last(ask):
    async def work(records):
        await records.keep_subscription(subscription(PHONE))
        await records.keep_subscription(subscription(OTHER))
        return await records.subscriptions()

    assert [subscription(OTHER)] == ask(work)


def test_a_subscription_is_dropped_by_device_but_not_by_an_endpoint_it_no_longer_has(ask):
    async def work(records):
        await records.keep_subscription(subscription())
        await records.drop_subscription(PHONE, "https://push.example/old")
        before = await records.subscriptions()
        await records.drop_subscription(PHONE)
        return before, await records.subscriptions()

    assert ([subscription()], []) == ask(work)


def test_revoked_devices_are_not_pushed_to(ask):
    async def work(records):
        device = (await records.add_device("phone", 1, counting())).device.id
        await records.keep_subscription(subscription(device))
        before = len(await records.subscriptions())
        await records.revoke(device, 2)
        return before, len(await records.subscriptions())

    assert (1, 0) == ask(work)


def test_how_the_last_push_went_is_known(ask):
    async def work(records):
        await records.keep_subscription(subscription())
        seen = []
        for note in (
            lambda: records.note_not_delivered(PHONE, "No answer."),
            lambda: records.note_delivered(PHONE, [], 5000),
            lambda: records.note_not_delivered(PHONE, "No answer."),
        ):
            await note()
            seen += [(one.good_ms, one.trouble) for one in await records.subscriptions()]
        return seen

    assert [(None, "No answer."), (5000, ""), (5000, "No answer.")] == ask(work)


def test_what_reached_whom_is_known_without_a_subscription_too(ask):
    async def work(records):
        await records.note_delivered(SERVER, [RING], 1000)
        await records.note_delivered(PHONE, [RING, OTHER_RING], 1000)
        await records.note_delivered(PHONE, [RING], 2000)
        return await records.delivered()

    assert {SERVER: {RING}, PHONE: {RING, OTHER_RING}} == ask(work)


def test_deliveries_are_forgotten_after_sixty_days_unless_they_still_ring(ask):
    async def work(records):
        await records.note_delivered(PHONE, [RING, OTHER_RING], 1000)
        await records.forget_delivered([], 1000 + 60 * DAY)
        before = await records.delivered()
        await records.forget_delivered([RING], 1001 + 60 * DAY)
        return before, await records.delivered()

    assert ({PHONE: {RING, OTHER_RING}}, {PHONE: {RING}}) == ask(work)


def test_a_feed_opens_with_its_latest_secret_alone(ask):
    async def work(records):
        random_bytes = counting()
        old = await records.new_feed(PHONE, 1000, random_bytes)
        await records.note_feed_fetched(PHONE, 1500)
        new = await records.new_feed(PHONE, 2000, random_bytes)
        await records.note_feed_fetched(PHONE, 2500)
        opened = [await records.feed_with(token) for token in (old, new)]
        own = await records.feed_of(PHONE)
        await records.drop_feed(PHONE)
        return opened, own, await records.feed_with(new), await records.feed_of(PHONE)

    feed = Feed(PHONE, 2000, 2500)

    assert ([None, feed], feed, None, None) == ask(work)


def test_the_feed_of_a_revoked_device_is_void(ask):
    async def work(records):
        device = (await records.add_device("phone", 1, counting())).device.id
        token = await records.new_feed(device, 1000, counting())
        await records.revoke(device, 2)
        return await records.feed_with(token)

    assert ask(work) is None


def test_calendar_entries_are_changed_and_deleted_together(ask):
    async def work(records):
        await records.keep_calendar_entries({"a": b"1", "b": b"2"}, [])
        await records.keep_calendar_entries({"b": b"3", "c": b"4"}, ["a", "unknown"])
        return await records.calendar_entries()

    assert {"b": b"3", "c": b"4"} == ask(work)


def test_a_build_that_was_never_found_finished_is_read_at_every_start(ask):
    async def work(records):
        return await records.unfinished_builds("code"), await records.affected_builds([])

    assert ([], []) == ask(work)
