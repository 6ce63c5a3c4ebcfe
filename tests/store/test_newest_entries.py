"""The newest entries in memory: whatever happens to the file, they tell what the file would."""

from contextlib import closing

import pytest
from benchbell.store.connection import connect
from benchbell.store.database import prepare
from benchbell.store.early import ALWAYS
from benchbell.store.envelopes import with_envelopes
from benchbell.store.group_commit import in_one_transaction
from benchbell.store.happenings import exchange, keep
from benchbell.store.log_slices import newest_after, newest_position, slice_after
from benchbell.store.newest_entries import MOST_ENTRIES
from hypothesis import given, settings
from hypothesis import strategies as st
from scene import OTHER, PHONE, bodies

DEVICES = (PHONE, OTHER)
STEPS = st.lists(
    st.one_of(
        st.tuples(
            st.sampled_from(("taken", "undone", "lost", "elsewhere")), st.sampled_from(DEVICES), st.integers(1, 4)
        ),
        st.just(("deleted", PHONE, 1)),
    ),
    max_size=12,
)


def broken(db):
    """A work that fails after it wrote."""
    raise ValueError


def appended(db, device: str, count: int):
    """So many more happenings of this device."""
    first = db.execute("SELECT coalesce(max(n), 0) + 1 FROM happening WHERE device = ?", (device,)).fetchone()[0]
    keep(db, device, with_envelopes(bodies(first, first + count - 1, device)))


def step(db, other, what: str, device: str, count: int) -> None:
    """One of the things that can happen to the log."""

    def take(on):
        appended(on, device, count)

    def take_and_break(on):
        appended(on, device, count)
        broken(on)

    if what == "taken":
        in_one_transaction(db, [take])
    elif what == "undone":
        in_one_transaction(db, [take, take_and_break])
    elif what == "lost":
        db.execute("BEGIN IMMEDIATE")
        appended(db, device, count)
        db.execute("ROLLBACK")
    elif what == "elsewhere":
        in_one_transaction(other, [take])
    else:
        db.execute("DELETE FROM happening WHERE position = (SELECT max(position) FROM happening)")


@given(STEPS)
@settings(max_examples=150, deadline=None)
def test_memory_tells_what_the_file_tells(tmp_path_factory, steps):
    file = prepare(tmp_path_factory.mktemp("log"))
    with closing(connect(file)) as db, closing(connect(file)) as other, closing(connect(file)) as reader:
        for one in steps:
            step(db, other, *one)
            for position in range(newest_position(db) + 2):
                without = (PHONE, [1, 2])
                assert slice_after(db, position, 1000, without=without) == slice_after(
                    reader, position, 1000, without=without
                )


@pytest.fixture
def db(tmp_path):
    with closing(connect(prepare(tmp_path))) as db:
        yield db


def test_what_was_just_appended_is_not_read_from_the_file_again(db):
    in_one_transaction(db, [lambda db: appended(db, PHONE, 3), lambda db: appended(db, OTHER, 2)])
    assert bytes(newest_after(db, 2, 1000, (PHONE, [3])).listed) == b"[" + b",".join(bodies(1, 2, OTHER)) + b"]"


def test_more_than_an_answer_holds_is_cut_by_the_file(db):
    in_one_transaction(db, [lambda db: appended(db, PHONE, 3)])
    assert newest_after(db, 0, 2, ("", ())) is None


def test_no_more_than_so_many_are_kept(db):
    sent = with_envelopes(bodies(1, MOST_ENTRIES + 1, PHONE))
    in_one_transaction(db, [lambda db: keep(db, PHONE, sent)])
    assert len(db.newest.entries) == MOST_ENTRIES
    assert newest_after(db, 0, MOST_ENTRIES + 1, ("", ())) is None


def test_a_refused_batch_is_given_to_nobody(db):
    in_one_transaction(db, [lambda db: appended(db, PHONE, 2)])

    def refused(db):
        exchange(db, PHONE, with_envelopes(bodies(3, 4, PHONE)), 0, "", ALWAYS)
        broken(db)

    def asking(db):
        return exchange(db, OTHER, with_envelopes(bodies(1, 1, OTHER)), 0, "", ALWAYS)

    _, answered = in_one_transaction(db, [refused, asking])
    assert bytes(answered.lacked.listed) == b"[" + b",".join(bodies(1, 2, PHONE)) + b"]"
