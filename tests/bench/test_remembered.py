"""What a book remembers between two looks is what all its happenings tell: in Python alone, for each kind of mark."""

import pytest
from benchbell.bench.book import Book
from benchbell.bench.state import MARKS, bench_of
from briefs import beginning, happening


@pytest.mark.parametrize("kind", MARKS)
def test_a_mark_that_comes_after_a_look_is_in_the_next(kind):
    book = Book()
    book.add(beginning("stand"))
    before = bench_of(book).operations["A/glue"].marks
    book.add(happening(["a", 1000, "a", {"kind": kind, "operation": "A/glue"}]))

    assert {} == before
    assert {kind: 1000} == bench_of(book).operations["A/glue"].marks
