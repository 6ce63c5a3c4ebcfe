"""Taking batches and giving them out again: to the letter, whole or not at all."""

import asyncio
import json
from functools import partial
from itertools import accumulate

import pytest
from benchbell.bench.happenings import SERVER, Noted
from benchbell.findings import Refused
from benchbell.store.happenings import Gap, TwoPhonesOneName, after, all_readable, of_build, record, take
from hypothesis import given, settings
from hypothesis import strategies as st
from store.opened import kept, with_database
from store.sent import OTHER, PHONE, bodies, body, id7


def test_what_comes_out_is_what_went_in_to_the_letter(tmp_path):
    sent = [*bodies(1, 3), body(4, kind="a-kind-of-next-year")]

    async def work(database):
        return await take(database, PHONE, sent), await database.read(kept)

    taken_to, came = with_database(tmp_path, work)

    assert (4, sent) == (taken_to, came)


def test_sending_the_same_again_does_no_harm(tmp_path):
    async def work(database):
        for batch in (bodies(1, 3), bodies(1, 3), bodies(2, 5), []):
            taken_to = await take(database, PHONE, batch)
        return taken_to, await database.read(kept)

    taken_to, came = with_database(tmp_path, work)

    assert (5, bodies(1, 5)) == (taken_to, came)


def test_a_gap_takes_nothing_and_says_where_to_begin(tmp_path):
    async def work(database):
        await take(database, PHONE, bodies(1, 2))
        with pytest.raises(Gap) as refused:
            await take(database, PHONE, [body(3), body(5)])
        return refused.value, await database.read(kept)

    gap, came = with_database(tmp_path, work)

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
def test_two_phones_with_one_name_are_noticed_and_nothing_is_taken(tmp_path, batch):
    async def work(database):
        await take(database, PHONE, bodies(1, 2))
        with pytest.raises(TwoPhonesOneName, match=r"Fetch what is here, drop what is known, number the rest from 3"):
            await take(database, PHONE, batch)
        return await database.read(kept)

    assert 2 == len(with_database(tmp_path, work))


def test_a_refused_batch_does_not_disturb_those_that_share_its_commit(tmp_path):
    async def work(database):
        good, bad, other = take(database, PHONE, bodies(1, 9)), take(database, "c" * 16, [body(7)]), bodies(1, 4, OTHER)
        return await asyncio.gather(good, bad, take(database, OTHER, other), return_exceptions=True)

    nine, gap, four = with_database(tmp_path, work)

    assert (9, Gap, 4) == (nine, type(gap), four)


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
def test_an_envelope_that_is_not_of_its_form_is_refused_with_the_place(tmp_path, changed, sentence):
    bad = json.dumps({**json.loads(body(1)), **changed}).encode()

    async def work(database):
        with pytest.raises(Refused) as refused:
            await take(database, PHONE, [bad])
        return str(refused.value)

    assert with_database(tmp_path, work).startswith(sentence)


def test_a_kind_it_knows_with_fields_it_cannot_read_is_kept_and_not_understood(tmp_path):
    async def work(database):
        await take(database, PHONE, [body(1, kind="clamped"), body(2)])
        return await of_build(database, "stand")

    assert [None, Noted("note 2")] == [h.what for h in with_database(tmp_path, work)]


@given(st.integers(0, 12), st.integers(1, 5), st.integers(1, 2000))
@settings(max_examples=30, deadline=None)
def test_stretches_put_together_are_the_whole_book(tmp_path_factory, position, limit, most_bytes):
    async def work(database):
        await take(database, PHONE, bodies(1, 10))
        came, at, more = [], position, True
        while more:
            stretch = await database.read(partial(after, position=at, limit=limit, most_bytes=most_bytes))
            assert stretch.position >= at
            came += all_readable(stretch.listed)
            at, more = stretch.position, stretch.position < stretch.newest
        return came

    came = with_database(tmp_path_factory.mktemp("book"), work)

    assert [h.n for h in came] == list(range(position + 1, 11))


@given(st.integers(0, 14), st.integers(1, 5), st.integers(1, 2000), st.sets(st.integers(1, 10)))
@settings(max_examples=60, deadline=None)
def test_a_phone_lacks_a_stretch_without_what_it_brought(tmp_path_factory, position, limit, most_bytes, brought):
    async def work(database):
        await take(database, PHONE, bodies(1, 10))
        await take(database, OTHER, bodies(1, 3, OTHER))
        but = (PHONE, sorted(brought))
        return await database.read(partial(after, position=position, limit=limit, most_bytes=most_bytes, but=but))

    lacked = with_database(tmp_path_factory.mktemp("book"), work)
    came = [(at, one) for at, one in enumerate([*bodies(1, 10), *bodies(1, 3, OTHER)], 1) if at > position][:limit]
    before = accumulate((len(one) for _, one in came), initial=0)
    reached = [(at, one) for (at, one), size in zip(came, before, strict=False) if size < most_bytes]
    left = [one for at, one in reached if at not in brought]

    assert b"[" + b",".join(left) + b"]" == bytes(lacked.listed)
    assert (lacked.position, lacked.newest) == (max([position, *(at for at, _ in reached)]), 13)


def test_the_servers_own_stamps_never_go_back(tmp_path):
    def twice(db):
        return [record(db, id7(n, "f00d"), ms, "stand", (), Noted("")) for n, ms in ((1, 2000), (2, 1000), (3, 3000))]

    made = with_database(tmp_path, lambda database: database.write(twice))

    assert [(1, 2000, 0), (2, 2000, 1), (3, 3000, 0)] == [(h.n, h.at.ms, h.at.counter) for h in made]
    assert {SERVER} == {h.at.device for h in made}
