"""A book of happenings: long chains of undoing, and what it remembers."""

from benchbell.bench.book import Book
from benchbell.bench.sizes import sizes_of
from benchbell.recipe.sheet import Size
from briefs import beginning, book_of, happening
from msgspec.structs import replace
from twins import ask_the_page


def finished(id, ms):
    return [id, ms, "a", {"kind": "finished", "operation": "rough-out"}]


def undoing(id, ms, of):
    return [id, ms, "a", {"kind": "undone", "happening": of}]


UNDOINGS = 1200
"""More than Python lets calls nest (sys.getrecursionlimit() is 1000), and even, so that the tap counts in the end."""


def test_a_tap_undone_and_brought_back_more_often_than_calls_may_nest_still_folds():
    chain = [finished("h0", 1), *(undoing(f"h{n}", n + 1, f"h{n - 1}") for n in range(1, UNDOINGS + 1))]
    path = ["operations", "rough-out", "status"]

    assert book_of("stand", chain).latest("finished", "rough-out") is not None
    assert book_of("stand", chain[::-1]).latest("finished", "rough-out") is not None
    assert book_of("stand", chain[:-1]).latest("finished", "rough-out") is None
    assert ask_the_page("state_told", "stand", chain, path) == {"answer": "done"}
    assert ask_the_page("state_told", "stand", chain[::-1], path) == {"answer": "done"}


def test_what_counts_stands_in_order():
    briefs = [finished("b", 2), finished("a", 1), finished("c", 3), undoing("d", 4, "c")]

    assert ["start", "a", "b", "d"] == [h.id for h in book_of("stand", briefs).effective()]


def test_an_answer_is_worked_out_again_only_after_a_change_of_its_subject():
    book, worked_out = book_of("stand", []), []

    def look():
        return book.remember("answer", book.changes_of("rough-out"), lambda: worked_out.append(1) or len(worked_out))

    assert [1, 1] == [look(), look()]

    book.add(happening(["x", 1, "a", {"kind": "finished", "operation": "A/glue"}]))

    assert look() == 1

    book.add(happening(finished("y", 2)))

    assert look() == 2

    book.add(happening(undoing("z", 3, "y")))

    assert look() == 3


def test_the_same_happening_twice_is_one():
    book = Book()

    assert [True, False] == [book.add(happening(finished("a", 1))) for _ in range(2)]


def test_sizes_that_hang_on_each_other_in_a_circle_say_so_and_end():
    sheet = beginning("stand").what.sheet
    circle = tuple(Size(name, "length", (f"@{other}",), 1.0) for name, other in ("pq", "qp"))
    sizes = sizes_of(replace(sheet, sizes=circle), {}, "A")

    assert [None, None] == [sizes[name].value for name in "pq"]
    assert "has no value yet" in sizes["p"].trouble
