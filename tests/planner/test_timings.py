"""What the log tells of how long work took: without nights, no minute twice, and by whom."""

from datetime import UTC, datetime

from benchbell.bench.book import Book
from benchbell.bench.happenings import Began, Clamped, Finished, GlueOn, Happening, Stamp, Started, Undone
from benchbell.plan.odds.timings import Timing
from benchbell.planner.shop_hours import read_hours
from benchbell.planner.timings import Span, recorded_spans, shared_out, spans_of, timed
from small_recipes import FIT, PARTS, compiled, glue, work

MINUTE = 60_000
WEEK = read_hours(None)
ANN, BOB = "a" * 16, "b" * 16

STOOL = PARTS + work("cut", ["leg"], 'station = "table saw"\nminutes = 20') + FIT + glue("")


def at(day, hour, minute=0):
    """A moment in December 2026, whose 7th is a Monday, in ms."""
    return int(datetime(2026, 12, day, hour, minute, tzinfo=UTC).timestamp() * 1000)


def span(began, ended, planned=30, person="ann"):
    """An operation in hand from one moment to another."""
    return Span(Timing("b", "bench", person, planned, 0), began, ended)


def book_of(*entries):
    """A stool's book: moments, who, what."""
    book = Book()
    sheet = compiled(STOOL, 1)
    for n, (ms, who, what) in enumerate([(at(7, 8), ANN, Started("Stool", sheet, STOOL, {})), *entries]):
        book.add(Happening(f"h{n}", n + 1, Stamp(ms, n, who), "b", (), what))
    return book


def test_each_timed_operation_is_told_by_kind_and_by_who_began_it():
    book = book_of(
        (at(7, 9), ANN, Began("A/cut")),
        (at(7, 9, 25), BOB, Finished("A/cut")),
        (at(7, 10), BOB, Began("A/glue")),
        (at(7, 10, 5), BOB, GlueOn("A/glue")),
        (at(7, 10, 12), BOB, Clamped("A/glue")),
    )
    (cut, glued) = timed(recorded_spans("b", book), WEEK, UTC)

    assert (cut.kind, cut.person, cut.planned, cut.real) == ("table saw", ANN, 20, 25)
    assert (glued.kind, glued.person, glued.real) == ("glue-up", BOB, 12)


def test_what_was_undone_or_is_still_in_hand_teaches_nothing():
    book = book_of(
        (at(7, 9), ANN, Began("A/cut")),
        (at(7, 9, 25), ANN, Finished("A/cut")),
        (at(7, 9, 26), ANN, Undone("h2")),
    )

    assert recorded_spans("b", book) == ()


def test_a_build_without_a_beginning_teaches_nothing():
    assert spans_of("b", Book()) == ()


def test_a_night_and_a_weekend_are_not_worked_through_but_lunch_and_overtime_may_be():
    reals = [
        one.real
        for began, ended in (
            (at(7, 16), at(8, 9)),
            (at(11, 16, 30), at(14, 8, 30)),
            (at(7, 16), at(7, 19)),
            (at(7, 18), at(8, 9)),  # begun after hours: nobody knows when it was left
        )
        for one in timed([span(began, ended)], WEEK, UTC)
    ]

    assert reals == [120, 60, 180, 15 * 60]


def test_minutes_in_which_a_person_has_several_in_hand_are_shared_by_what_is_planned():
    batch = [span(0, 12 * MINUTE, 10), span(0, 36 * MINUTE, 30), span(30 * MINUTE, 40 * MINUTE, 30)]
    shared = [ms / MINUTE for ms in shared_out(batch)]

    # 12 minutes in quarters, then 18 alone, then 6 in halves, then 4 alone.
    assert shared == [3, 9 + 18 + 3, 3 + 4]


def test_two_persons_take_nothing_from_each_other():
    assert shared_out([span(0, 600, person="ann"), span(0, 600, person="bob")]) == [600, 600]
