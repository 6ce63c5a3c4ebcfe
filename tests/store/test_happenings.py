"""The SQL that cuts a slice out of the log."""

from functools import partial
from itertools import accumulate

from benchbell.store.log_slices import slice_after
from benchbell.store.sqlite_records import ask_records
from hypothesis import given, settings
from hypothesis import strategies as st
from scene import OTHER, PHONE, bodies


@given(st.integers(0, 14), st.integers(1, 5), st.integers(1, 2000), st.sets(st.integers(1, 10)))
@settings(max_examples=60, deadline=None)
def test_a_phone_lacks_a_stretch_without_what_it_brought(tmp_path_factory, position, limit, most_bytes, brought):
    async def work(records):
        await records.take(PHONE, bodies(1, 10))
        await records.take(OTHER, bodies(1, 3, OTHER))
        without = (PHONE, sorted(brought))
        return await records.database.read(
            partial(slice_after, position=position, limit=limit, most_bytes=most_bytes, without=without)
        )

    lacked = ask_records(tmp_path_factory.mktemp("log"), work)
    came = [(at, one) for at, one in enumerate([*bodies(1, 10), *bodies(1, 3, OTHER)], 1) if at > position][:limit]
    before = accumulate((len(one) for _, one in came), initial=0)
    reached = [(at, one) for (at, one), size in zip(came, before, strict=False) if size < most_bytes]
    left = [one for at, one in reached if at not in brought]

    assert b"[" + b",".join(left) + b"]" == bytes(lacked.listed)
    assert (lacked.position, lacked.newest) == (max([position, *(at for at, _ in reached)]), 13)
