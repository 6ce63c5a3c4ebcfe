"""The log, as any store must keep it: bytes unchanged, a batch whole or not at all."""

import asyncio
import json

import pytest
from benchbell.bench.happenings import SERVER, Noted, When
from benchbell.findings import Refused
from benchbell.store.envelopes import all_readable
from benchbell.store.errors import Gap, TwoPhonesOneName
from benchbell.store.record_types import Entry
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scene import OTHER, PHONE, bodies, body, id7, kept


def test_what_comes_out_is_what_went_in_to_the_letter(ask):
    sent = [*bodies(1, 3), body(4, kind="a-kind-of-next-year")]

    async def work(records):
        return await records.take(PHONE, sent), await kept(records)

    taken_to, came = ask(work)

    assert (4, sent) == (taken_to, came)


def test_sending_the_same_again_does_no_harm(ask):
    async def work(records):
        for batch in (bodies(1, 3), bodies(1, 3), bodies(2, 5), []):
            taken_to = await records.take(PHONE, batch)
        return taken_to, await kept(records)

    taken_to, came = ask(work)

    assert (5, bodies(1, 5)) == (taken_to, came)


def test_a_gap_takes_nothing_and_says_where_to_begin(ask):
    async def work(records):
        await records.take(PHONE, bodies(1, 2))
        with pytest.raises(Gap) as refused:
            await records.take(PHONE, [body(3), body(5)])
        return refused.value, await kept(records)

    gap, came = ask(work)

    assert f"Device {PHONE} sent number 5, but 4 is not here yet. Send again from 3." == str(gap)
    assert (2, 2) == (gap.taken_to, len(came))


@pytest.mark.parametrize(
    "batch",
    [
        pytest.param([body(3), body(2, id=id7(99))], id="a number for two happenings"),
        pytest.param([body(3), body(4, id=id7(1))], id="an id for two happenings"),
        pytest.param([body(3), body(3, id=id7(99))], id="a number twice in one batch"),
    ],
)
def test_two_phones_with_one_name_are_noticed_and_nothing_is_taken(ask, batch):
    async def work(records):
        await records.take(PHONE, bodies(1, 2))
        with pytest.raises(TwoPhonesOneName, match=r"Fetch what is here, drop what is known, number the rest from 3"):
            await records.take(PHONE, batch)
        return await kept(records)

    assert 2 == len(ask(work))


def test_a_refused_batch_does_not_disturb_those_that_share_its_commit(ask):
    async def work(records):
        good, bad, other = records.take(PHONE, bodies(1, 9)), records.take("c" * 16, [body(7)]), bodies(1, 4, OTHER)
        return await asyncio.gather(good, bad, records.take(OTHER, other), return_exceptions=True)

    nine, gap, four = ask(work)

    assert (9, Gap, 4) == (nine, type(gap), four)


def test_what_a_refused_one_wrote_before_it_failed_is_not_kept_with_what_its_neighbours_wrote(ask):
    entries = [Entry(id, When(1000), "stand", (), Noted("half")) for id in (id7(1, "f00d"), "no UUID")]

    async def work(records):
        writers = [records.take(PHONE, bodies(1, 3)), records.record(entries), records.take(OTHER, bodies(1, 2, OTHER))]
        return await asyncio.gather(*writers, return_exceptions=True), await kept(records)

    (three, refused, two), came = ask(work)

    assert (3, Refused, 2) == (three, type(refused), two)
    assert [*bodies(1, 3), *bodies(1, 2, OTHER)] == came


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"n": 0}, "A happening's n is 0; it must be 1 to 9007199254740991."),
        ({"n": 2**53}, "A happening's n is 9007199254740992; it must be 1 to 9007199254740991."),
        ({"id": "x"}, "A happening's id is 'x'; it must be a UUIDv7 in lower case."),
        ({"at": {"ms": -1, "counter": 0, "device": PHONE}}, "A happening's at.ms is -1;"),
        ({"at": {"ms": 1, "counter": 65536, "device": PHONE}}, "A happening's at.counter is 65536;"),
        ({"at": {"ms": 1, "counter": 0, "device": "Ａ"}}, "A happening's at.device is 'Ａ';"),
        ({"n": "1"}, "A happening cannot be read: Expected `int`, got `str` - at `$.n`."),
        ({"what": {}}, "A happening cannot be read: Object missing required field `kind` - at `$.what`."),
    ],
)
def test_an_envelope_that_is_not_of_its_form_is_refused_with_the_place(ask, changed, sentence):
    bad = json.dumps({**json.loads(body(1)), **changed}).encode()

    async def work(records):
        with pytest.raises(Refused) as refused:
            await records.take(PHONE, [bad])
        return str(refused.value)

    assert ask(work).startswith(sentence)


def test_a_kind_it_knows_with_fields_it_cannot_read_is_kept_and_not_understood(ask):
    async def work(records):
        await records.take(PHONE, [body(1, kind="clamped"), body(2)])
        return await records.happenings_of("stand")

    assert [None, Noted("note 2")] == [h.what for h in ask(work)]


@given(st.integers(0, 12), st.integers(1, 5), st.integers(1, 2000))
@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_stretches_put_together_are_the_whole_book(new_store, position, limit, most_bytes):
    async def work(records):
        await records.take(PHONE, bodies(1, 10))
        came, at, more = [], position, True
        while more:
            stretch = await records.slice_after(at, limit, most_bytes=most_bytes)
            assert stretch.position >= at
            came += all_readable(stretch.listed)
            at, more = stretch.position, stretch.position < stretch.newest
        return came

    came = new_store()(work)

    assert [h.n for h in came] == list(range(position + 1, 11))


@given(st.integers(0, 14), st.sets(st.integers(1, 10), min_size=1))
@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_phone_gets_what_it_lacks_but_for_what_it_brought(new_store, after, brought):
    async def work(records):
        await records.take(PHONE, bodies(1, 10))
        await records.take(OTHER, bodies(1, 3, OTHER))
        return await records.exchange(PHONE, [body(n) for n in sorted(brought)], after, await records.log_epoch())

    done = new_store()(work)
    first = after if after <= 13 else 0  # beyond the newest position it begins anew
    came = [(at, one) for at, one in enumerate([*bodies(1, 10), *bodies(1, 3, OTHER)], 1) if at > first]
    lacked = [one for at, one in came if at not in brought]

    assert b"[" + b",".join(lacked) + b"]" == bytes(done.lacked.listed)
    assert (max(brought), 13, 13) == (done.taken_to, done.lacked.position, done.lacked.newest)


@pytest.mark.parametrize("after", [5, 6, 2**53])
def test_a_position_beyond_the_newest_means_nothing(ask, after):
    async def work(records):
        await records.take(PHONE, bodies(1, 4))
        return await records.exchange(OTHER, [], after, await records.log_epoch())

    lacked = ask(work).lacked

    assert (4, 4, [1, 2, 3, 4]) == (lacked.position, lacked.newest, [h.n for h in all_readable(lacked.listed)])


@pytest.mark.parametrize(("epoch", "first"), [("another", 1), ("", 3)])
def test_positions_of_another_epoch_mean_nothing(ask, epoch, first):
    async def work(records):
        await records.take(PHONE, bodies(1, 4))
        return await records.exchange(OTHER, [], 2, epoch), await records.log_epoch()

    done, here = ask(work)

    assert list(range(first, 5)) == [h.n for h in all_readable(done.lacked.listed)]
    assert (0, here) == (done.taken_to, done.log_epoch)


@pytest.mark.parametrize(
    ("after", "confirmed", "is_same_epoch", "begins_anew"),
    [
        pytest.param(5, 0, True, True, id="a position that is not here"),
        pytest.param(3, 3, True, True, id="a number that was confirmed is not here"),
        pytest.param(4, 2, True, False, id="all of it is here"),
        pytest.param(9, 9, False, False, id="of another epoch"),
    ],
)
def test_an_earlier_state_of_the_disk_begins_a_new_epoch_once(ask, after, confirmed, is_same_epoch, begins_anew):
    async def work(records):
        await records.take(PHONE, bodies(1, 2))
        await records.take(OTHER, bodies(1, 2, OTHER))
        before = await records.log_epoch()
        epoch = before if is_same_epoch else "f" * 16
        done = await records.exchange(PHONE, [], after, epoch, confirmed=confirmed)
        again = await records.exchange(PHONE, [], 9, done.log_epoch, confirmed=9)
        return before, done, again

    before, done, again = ask(work)

    assert begins_anew == (done.log_epoch != before)
    assert not begins_anew or 4 == len(all_readable(done.lacked.listed))
    assert not begins_anew or again.log_epoch == done.log_epoch


def test_the_servers_own_stamps_never_go_back(ask):
    entries = [Entry(id7(n, "f00d"), When(ms), "stand", (), Noted("")) for n, ms in ((1, 2000), (2, 1000), (3, 3000))]
    made = ask(lambda records: records.record(entries))

    assert [(1, 2000, 0), (2, 2000, 1), (3, 3000, 0)] == [(h.n, h.at.ms, h.at.counter) for h in made]
    assert {SERVER} == {h.at.device for h in made}
