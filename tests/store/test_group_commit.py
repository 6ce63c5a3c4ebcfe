"""Works that share a commit: what one of them meets is its own, and none of them waits for all that come later."""

import asyncio
import sqlite3
from collections import deque

from benchbell.store.group_commit import LARGEST_GROUP, joined
from benchbell.store.sqlite_records import ask_records
from scene import OTHER, PHONE, bodies, kept


def break_a_constraint(db):
    db.execute("INSERT INTO device (id, name, token, paired_ms, seen_ms) VALUES ('a', 'a', 'a', 1, 1)")
    db.execute("INSERT INTO device (id, name, token, paired_ms, seen_ms) VALUES ('a', 'a', 'a', 1, 1)")


def test_a_broken_constraint_is_the_business_of_the_one_who_broke_it(tmp_path):
    async def work(records):
        writers = [
            records.take(PHONE, bodies(1, 2)),
            records.database.write(break_a_constraint),
            records.take(OTHER, bodies(1, 1, OTHER)),
        ]
        outcomes = await asyncio.gather(*writers, return_exceptions=True)
        return outcomes, await kept(records), await records.all_devices()

    (two, broken, one), came, devices = ask_records(tmp_path, work)

    assert (2, sqlite3.IntegrityError, 1) == (two, type(broken), one)
    assert [*bodies(1, 2), *bodies(1, 1, OTHER)] == came
    assert [] == devices


def test_a_steady_stream_of_writers_does_not_hold_up_the_first_ones():
    waiting = deque((lambda db: None, None) for _ in range(LARGEST_GROUP + 1))
    group = []
    taken = list(joined(waiting, group))

    assert (LARGEST_GROUP, LARGEST_GROUP, 1) == (len(taken), len(group), len(waiting))
