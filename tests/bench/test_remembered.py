"""What a book remembers between two looks is what all its happenings tell: in Python alone, for each kind of mark."""

import pytest
from benchbell.bench.book import Book
from benchbell.bench.state import MARKS, bench_of, state_of
from briefs import beginning, happening


def test_a_mark_and_a_lost_part_that_come_together_are_both_in_the_next():
    # What is remembered of an operation hangs on both: the one must not make up for the other.
    happened = [
        happening(["a", 1000, "a", {"kind": "spoiled", "part": "B/rail"}]),
        happening(["b", 1001, "a", {"kind": "finished", "operation": "A/glue"}]),
    ]
    book = Book()
    book.add(beginning("stand"))
    bench_of(book)
    for h in happened:
        book.add(h)

    assert state_of([beginning("stand"), *happened]) == bench_of(book)


@pytest.mark.parametrize("kind", MARKS)
def test_a_mark_that_comes_after_a_look_is_in_the_next(kind):
    book = Book()
    book.add(beginning("stand"))
    before = bench_of(book).operations["A/glue"].marks
    book.add(happening(["a", 1000, "a", {"kind": kind, "operation": "A/glue"}]))

    assert {} == before
    assert {kind: 1000} == bench_of(book).operations["A/glue"].marks
