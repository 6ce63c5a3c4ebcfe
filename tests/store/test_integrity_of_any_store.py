"""What every store must do with stamps that are ahead of the server, and when it is asked to look for damage."""

import os

import msgspec
import pytest
from benchbell.bench.book import Book
from benchbell.bench.encoding import read_envelope
from benchbell.bench.happenings import When
from benchbell.store.envelopes import readable
from benchbell.store.errors import Gap
from benchbell.store.happenings import LARGEST_COUNTER
from scene import NOON, OTHER, PHONE, id7, kept

DAY = 86_400_000
LIMIT = NOON + DAY
FAR = 4_102_444_800_000
"""2100-01-01."""


def stamped(n, ms, what=None, device=PHONE, build="stand"):
    what = what or {"kind": "clamped", "operation": f"A/glue-{n}"}
    at = {"ms": ms, "counter": 0, "device": device}
    return msgspec.json.encode({"id": id7(n, device), "n": n, "at": at, "build": build, "about": ["x"], "what": what})


async def sync(records, *sent, after=0):
    return await records.exchange(PHONE, list(sent), after, "", LIMIT)


async def effective(records, build="stand"):
    """What counts in the build, in order: kind and operation, and the ms of its stamp."""
    book = Book(await records.happenings_of(build))
    return [(h.what, h.at.ms) for h in book.effective() if h.what.__struct_config__.tag != "undone"]


def test_each_of_a_batch_is_judged_by_itself(ask):
    sent = [stamped(1, NOON), stamped(2, FAR), stamped(3, LIMIT), stamped(4, LIMIT + 1), stamped(5, 2**53 - 1)]

    async def work(records):
        done = await sync(records, *sent)
        return done, await kept(records), await records.early_counts()

    done, log, waiting = ask(work)

    assert 5 == done.taken_to
    assert [id7(2), id7(4), id7(5)] == sorted(done.early)
    assert [sent[0], sent[2]] == log
    assert {PHONE: (3, 2**53 - 1)} == waiting


def test_a_stamp_beyond_what_a_page_holds_exactly_does_not_block_the_batch(ask):
    done = ask(lambda records: sync(records, stamped(1, 2**53), stamped(2, NOON)))

    assert (2, (id7(1),)) == (done.taken_to, done.early)


def test_numbers_go_on_behind_what_waits(ask):
    async def work(records):
        await sync(records, stamped(1, FAR))
        again = await sync(records, stamped(1, FAR), stamped(2, NOON))
        nothing = await sync(records)
        with pytest.raises(Gap):
            await sync(records, stamped(4, NOON))
        return again.taken_to, nothing.taken_to, nothing.early, len(await kept(records))

    assert (2, 2, (id7(1),), 1) == ask(work)


def test_what_waits_joins_the_log_as_it_is_once_its_time_has_come(ask):
    sent = [stamped(1, LIMIT + 2), stamped(2, LIMIT + 1), stamped(3, FAR)]

    async def work(records):
        await sync(records, *sent)
        early = await records.admit_early(LIMIT)
        then = await records.admit_early(LIMIT + 2)
        done = await sync(records)
        return early, then, done.early, await kept(records), done.taken_to

    assert (0, 2, (id7(3),), [sent[1], sent[0]], 3) == ask(work)


def test_what_waits_is_recorded_again_in_its_order_with_the_servers_time(ask):
    sent = [stamped(1, FAR), stamped(2, FAR + 5), stamped(3, NOON)]

    async def work(records):
        await sync(records, *sent)
        many = await records.redate(When(NOON + 7), LIMIT, os.urandom)
        return many, await effective(records), await records.early_counts(), await sync(records)

    many, counted, waiting, done = ask(work)

    assert 2 == many
    assert [("A/glue-3", NOON), ("A/glue-1", NOON + 7), ("A/glue-2", NOON + 7)] == [
        (what.operation, ms) for what, ms in counted
    ]
    assert ({}, (), 3) == (waiting, done.early, done.taken_to)


def test_on_the_phone_that_recorded_it_the_new_one_counts_too(ask):
    sent = stamped(1, FAR, {"kind": "clamped", "operation": "A/glue"})

    async def work(records):
        await sync(records, sent)
        await records.redate(When(NOON), LIMIT, os.urandom)
        return await records.happenings_of("stand")

    book = Book([readable(sent), *ask(work)])

    assert [NOON] == [h.at.ms for h in book.all("clamped", "A/glue")]
    assert {PHONE} == {h.at.device for h in book.all("clamped", "A/glue")}


def test_a_log_that_is_poisoned_already_is_healed(ask):
    poisoned = [
        stamped(1, NOON, {"kind": "began", "operation": "A/glue"}),
        stamped(2, FAR, {"kind": "clamped", "operation": "A/glue"}),
        stamped(3, 2**53 - 1, {"kind": "ticked", "operation": "A/glue", "part": "p"}),
        stamped(4, 2**53 - 1, {"kind": "undone", "happening": id7(3)}),
        stamped(5, FAR, {"kind": "conditions", "celsius": 4.0}, build=""),
    ]
    undo_first = {**msgspec.json.decode(poisoned[3]), "at": {"ms": 2**53 - 1, "counter": 1, "device": PHONE}}
    poisoned[3] = msgspec.json.encode(undo_first)

    async def work(records):
        await records.take(PHONE, poisoned)
        before = await records.scrub_entries(0, 100, LIMIT)
        many = await records.redate(When(NOON + 1), LIMIT, os.urandom)
        after = await records.scrub_entries(0, 100, LIMIT)
        again = await records.redate(When(NOON + 1), LIMIT, os.urandom)
        return before, many, after, again, await effective(records), await effective(records, "")

    before, many, after, again, counted, shop = ask(work)

    assert {(id7(2), "stand"), (id7(3), "stand"), (id7(5), "")} == set(before.ahead)
    assert (2, 0) == (many, again)
    assert set() == {id for id, _ in after.ahead} - set(after.redated)
    assert [("began", NOON), ("clamped", NOON + 1)] == [(what.__struct_config__.tag, ms) for what, ms in counted]
    assert [] == shop


def test_the_words_of_a_kind_from_a_newer_page_survive(ask):
    what = {"kind": "of-next-year", "deep": {"z": [1.5, None], "a": "ü"}}

    async def work(records):
        await sync(records, stamped(1, FAR, what))
        await records.redate(When(NOON), LIMIT, os.urandom)
        return await kept(records)

    assert what == msgspec.json.decode(ask(work)[0])["what"]


def test_more_than_a_counter_holds_is_recorded_again_with_stamps_that_go_on(ask):
    first = stamped(1, NOON, device="0" * 16)
    full = msgspec.json.encode(
        {**msgspec.json.decode(first), "at": {"ms": NOON, "counter": LARGEST_COUNTER, "device": "0" * 16}}
    )

    async def work(records):
        await records.take("0" * 16, [full])
        await sync(records, stamped(1, FAR))
        await records.redate(When(NOON), LIMIT, os.urandom)
        return [read_envelope(one).at.ms for one in await kept(records)]

    assert [NOON, NOON + 1, NOON + 1] == ask(work)


def test_what_is_not_of_its_kinds_form_is_named_by_its_build(ask):
    lists = [
        stamped(1, NOON, {"kind": "ticked", "operation": "A/glue", "part": "p"}),
        stamped(2, NOON, {"kind": "ticked", "operation": 7, "part": "p"}),
        stamped(3, NOON, {"kind": "of-next-year", "operation": 7}),
        stamped(4, NOON, {"kind": "conditions", "celsius": 1e300}, build=""),
    ]

    async def work(records):
        await records.take(PHONE, lists)
        return [await records.scrub_entries(*where, LIMIT) for where in ((0, 2), (2, 10), (4, 10))]

    assert [("stand",), ("",), ()] == [seen.unreadable for seen in ask(work)]


def test_a_whole_log_is_found_whole(ask):
    async def work(records):
        await records.take(PHONE, [stamped(n, NOON) for n in range(1, 6)])
        one, other = await records.scrub_entries(0, 3, LIMIT), await records.scrub_entries(3, 3, LIMIT)
        restored = await records.restore_entries([stamped(1, NOON), stamped(9, NOON, device=OTHER)])
        return (
            one,
            other,
            await records.damaged_entries(),
            await records.scrub_file(),
            restored,
            len(await kept(records)),
        )

    one, other, damaged, file, restored, many = ask(work)

    assert (3, 3, 0, 2) == (one.position, one.checked, other.position, other.checked)
    assert ((), "", 0, 5) == (damaged, file, restored, many)
