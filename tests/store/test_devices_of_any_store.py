"""Devices, pairing codes and the quarantine, as any store must keep them."""

import itertools
import json

import pytest
from benchbell.bench.happenings import SERVER
from benchbell.findings import Refused
from benchbell.store.devices import code_hash
from benchbell.store.quarantine import MOST_BYTES, MOST_ENTRIES
from scene import OTHER, bodies, body, id7, kept

MINUTE = 60_000


def counting():
    """Random bytes that differ each time."""
    numbers = itertools.count(1)
    return lambda length: next(numbers).to_bytes(length)


def request(*happenings):
    """A sync request as a page sends it."""
    return b'{"page": 2, "happenings": [' + b", ".join(happenings) + b"]}"


def test_a_code_pairs_one_device_within_ten_minutes(ask):
    async def work(records):
        random_bytes = counting()
        code, late = [await records.new_pairing_code(0, random_bytes) for _ in range(2)]
        one = await records.pair(code.lower(), "phone", 1, random_bytes)
        again = await records.pair(code, "phone", 2, random_bytes)
        too_late = await records.pair(late, "phone", 10 * MINUTE + 1, random_bytes)
        return one, again, too_late, await records.device_with_token(one.token), await records.device_with_token("x")

    one, again, too_late, known, unknown = ask(work)

    assert ("phone", one.device) == (one.device.name, known)
    assert (None, None, None) == (again, too_late, unknown)


def test_open_codes_are_known_by_their_hash(ask):
    async def work(records):
        random_bytes = counting()
        used, other = [await records.new_pairing_code(0, random_bytes) for _ in range(2)]
        both = await records.open_pairing_codes(10 * MINUTE)
        await records.pair(used, "phone", 1, random_bytes)
        moments = (1, 10 * MINUTE, 10 * MINUTE + 1)
        return used, other, both, [await records.open_pairing_codes(ms) for ms in moments]

    used, other, both, later = ask(work)

    assert sorted(map(code_hash, (used, other))) == sorted(both)
    assert [[code_hash(other.lower())], [code_hash(other)], []] == later


def test_devices_in_use_have_different_names(ask):
    async def work(records):
        random_bytes = counting()
        made = [await records.add_device("phone", ms, random_bytes) for ms in (1, 2)]
        await records.revoke(made[0].device.id, 3)
        made.append(await records.add_device("phone", 4, random_bytes))
        return made, await records.all_devices(), await records.device_names()

    made, everyone, names = ask(work)

    assert ["phone", "phone 2", "phone"] == [one.device.name for one in made] == [one.name for one in everyone]
    assert {SERVER: "the server"} | {one.id: one.name for one in everyone} == names


def test_of_two_devices_with_one_name_the_one_in_use_is_revoked(ask):
    async def work(records):
        random_bytes = counting()
        old = await records.add_device("phone", 1, random_bytes)
        await records.revoke("phone", 2)
        new = await records.add_device("phone", 3, random_bytes)
        revoked = await records.revoke("phone", 4)
        again = await records.revoke("phone", 5)
        return old, new, revoked, again

    old, new, revoked, again = ask(work)

    assert (new.device.id, 4) == (revoked.id, revoked.revoked_ms)
    assert revoked == again  # the first moment stands
    assert old.device.id != new.device.id


def test_a_device_was_last_seen_when_it_asked_last(ask):
    async def work(records):
        device = (await records.add_device("phone", 1, counting())).device.id
        for ms in (5, 9, 7):
            await records.note_seen(device, ms)
        return await records.all_devices()

    assert [9] == [one.seen_ms for one in ask(work)]


@pytest.mark.parametrize("method", ["quarantined_from", "accept_quarantined", "discard_quarantined"])
def test_a_device_that_nobody_knows_is_refused(ask, method):
    with pytest.raises(Refused, match=r"There is no device “nobody”. See their names"):
        ask(lambda records: getattr(records, method)("nobody"))


def test_quarantined_work_is_listed_once_and_goes_into_the_log_unchanged_when_accepted(ask):
    async def work(records):
        device = (await records.add_device("phone", 1, counting())).device.id
        sent = bodies(1, 4, device)
        await records.take(device, sent[:1])
        for part in (sent[:3], sent[:3], sent[2:]):
            assert await records.keep_in_quarantine(device, request(*part), 2)
        listed, lines = await records.quarantined_from("phone"), await records.devices_with_quarantined()
        before = await kept(records)
        accepted = await records.accept_quarantined(device)
        return sent, listed, lines, before, accepted, await kept(records), await records.quarantined_from(device)

    sent, listed, lines, before, accepted, after, left = ask(work)

    assert sent[1:] == listed
    assert [("phone", 3)] == [(device.name, count) for device, count in lines]
    assert (sent[:1], 3, sent, []) == (before, accepted, after, left)


def test_quarantined_work_that_does_not_continue_is_refused_and_stays(ask):
    async def work(records):
        device = (await records.add_device("phone", 1, counting())).device.id
        await records.keep_in_quarantine(device, request(*bodies(2, 3, device)), 2)
        with pytest.raises(Refused, match="Pair the device again"):
            await records.accept_quarantined(device)
        return len(await records.quarantined_from(device)), await records.newest_position()

    assert (2, 0) == ask(work)


def test_each_quarantined_entry_is_judged_by_itself(ask):
    async def work(records):
        device = (await records.add_device("phone", 1, counting())).device.id
        await records.take(OTHER, bodies(1, 1, OTHER))
        junk = [b"7", b'{"n": 1}', body(2, device, id=id7(99)), body(9, device)]  # the third has a number given twice
        known = body(3, device, id=id7(1, OTHER))
        await records.keep_in_quarantine(device, request(*junk[:2], *bodies(1, 2, device), *junk[2:]), 2)
        await records.keep_in_quarantine(device, request(known, *bodies(3, 4, device)), 3)
        accepted = await records.accept_quarantined(device)
        left = await records.quarantined_from(device)
        discarded = await records.discard_quarantined(device)
        taken = [json.loads(one)["n"] for one in await kept(records) if json.loads(one)["at"]["device"] == device]
        return junk, accepted, left, discarded, taken, await records.quarantined_from(device)

    junk, accepted, left, discarded, taken, after = ask(work)

    assert (4, [1, 2, 3, 4]) == (accepted, taken)
    assert (junk, 4, []) == (left, discarded, after)


def test_quarantined_work_of_which_nothing_can_be_read_is_refused_and_stays(ask):
    async def work(records):
        device = (await records.add_device("phone", 1, counting())).device.id
        await records.keep_in_quarantine(device, request(b"7", b"{}"), 2)
        with pytest.raises(Refused, match="None of 2 entries"):
            await records.accept_quarantined(device)
        return await records.quarantined_from(device)

    assert [b"7", b"{}"] == ask(work)


def test_a_device_has_room_for_so_many_quarantined_entries_however_small(ask):
    async def work(records):
        device = (await records.add_device("phone", 1, counting())).device.id
        batches = [request(*(b"%d" % (n + 500 * batch) for n in range(500))) for batch in range(11)]
        return [await records.keep_in_quarantine(device, one, 2) for one in batches]

    assert [*[True] * 10, False] == ask(work)


def test_nothing_quarantined_is_nothing_to_accept(ask):
    async def work(records):
        await records.add_device("phone", 1, counting())
        await records.accept_quarantined("phone")

    with pytest.raises(Refused, match="Nothing of this device is kept aside"):
        ask(work)


def test_a_device_cannot_fill_the_disk_from_quarantine(ask):
    async def work(records):
        device = (await records.add_device("phone", 1, counting())).device.id
        large = [request(b'{"id": "%d", "text": "%s"}' % (n, b"x" * 6_000_000)) for n in range(4)]
        return [await records.keep_in_quarantine(device, one, 2) for one in large]

    assert [True, True, True, False] == ask(work)


def test_the_room_in_quarantine_ends_with_its_last_byte_and_its_last_entry(ask):
    def of_size(size, letter):
        return request(json.dumps({"text": letter * (size - len(request(b'{"text": ""}')))}).encode())

    async def work(records):
        random_bytes = counting()
        byte, entry = [(await records.add_device(name, 1, random_bytes)).device.id for name in ("bytes", "entries")]
        halves = [of_size(MOST_BYTES // 2, letter) for letter in "ab"]
        sizes = [await records.keep_in_quarantine(byte, one, 2) for one in (*halves, request(b"1"))]
        whole = request(*(b"%d" % n for n in range(MOST_ENTRIES - 1)))
        counts = [await records.keep_in_quarantine(entry, one, 2) for one in (whole, request(b"1"), request(b"2"))]
        return sizes, counts, await records.keep_in_quarantine(entry, of_size(MOST_BYTES + 1, "c"), 2)

    assert ([True, True, False], [True, True, False], False) == ask(work)


def test_what_was_accepted_makes_room_for_more(ask):
    async def work(records):
        device = (await records.add_device("phone", 1, counting())).device.id
        large = [request(body(n, device, text="x" * 6_000_000)) for n in range(1, 5)]
        kept_at_first = [await records.keep_in_quarantine(device, one, 2) for one in large]
        await records.accept_quarantined(device)
        return [*kept_at_first, await records.keep_in_quarantine(device, large[3], 2)]

    assert [True, True, True, False, True] == ask(work)
