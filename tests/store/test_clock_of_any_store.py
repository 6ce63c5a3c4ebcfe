"""The server's clock in any store: what is kept of it, and what moves when it is set."""

import pytest
from benchbell.bench.happenings import SHOP, ClockSet, Noted, When
from benchbell.findings import Refused
from benchbell.store.record_types import ClockReading, Entry, Subscription
from scene import id7

READING = ClockReading("boot", 1000, 2, 1, 5000, True, False, True)
SET = Entry(id7(1, "f00d"), When(7000, 3), SHOP, (), ClockSet(3, 1, 2000))


def random_bytes(count):
    return bytes(range(count))


def test_a_reading_is_kept_and_the_next_takes_its_place(ask):
    async def question(records):
        before = await records.clock_reading()
        await records.keep_clock_reading(ClockReading("earlier", 0, 0, 0, 0))
        await records.keep_clock_reading(READING)
        return before, await records.clock_reading()

    assert (None, READING) == ask(question)


def test_a_setting_is_recorded_with_the_reading_and_says_when(ask):
    async def question(records):
        await records.keep_clock_reading(READING, SET)
        return await records.clock_reading(), await records.happenings_of(SHOP)

    reading, (h,) = ask(question)
    assert (READING, SET.what, SET.when) == (reading, h.what, h.when)


def test_what_cannot_be_recorded_leaves_the_reading_as_it_was(ask):
    async def question(records):
        await records.keep_clock_reading(READING)
        with pytest.raises(Refused):
            await records.keep_clock_reading(ClockReading("later", 0, 3, 1, 0), Entry("no UUID", *list_of(SET)[1:]))
        return await records.clock_reading()

    assert READING == ask(question)


def list_of(entry):
    return [entry.id, entry.when, entry.build, entry.about, entry.what]


def test_the_servers_own_moments_move_with_its_clock(ask):
    async def question(records):
        device = (await records.add_device("phone", 1000, random_bytes)).device.id
        await records.keep_subscription(Subscription(device, "https://push.example/1", b"", b"", 1000))
        await records.note_delivered(device, [], 1500)
        await records.new_feed(device, 1000, random_bytes)
        code = await records.new_pairing_code(1000, random_bytes)
        await records.keep_clock_reading(READING, SET)
        (one,) = await records.all_devices()
        (subscription,) = await records.subscriptions()
        feed = await records.feed_of(device)
        paired = await records.pair(code, "another", 1000 + 600_000 + 2000, random_bytes=lambda n: b"\1" * n)
        return one, subscription, feed, paired

    one, subscription, feed, paired = ask(question)
    assert (3000, 3000, None) == (one.paired_ms, one.seen_ms, one.revoked_ms)
    assert (3000, 3500) == (subscription.since_ms, subscription.good_ms)
    assert (3000, None) == (feed.since_ms, feed.fetched_ms)
    assert paired is not None


def test_it_knows_when_the_server_last_recorded_something(ask):
    async def question(records):
        before = await records.last_recorded_ms()
        await records.record([Entry(id7(n, "f00d"), When(ms), SHOP, (), Noted("")) for n, ms in ((1, 9000), (2, 4000))])
        return before, await records.last_recorded_ms()

    assert (None, 4000) == ask(question)
