"""What the log tells of how long work took: without nights, no minute twice, and by whom."""

from datetime import UTC, datetime

import pytest
from benchbell.bench.book import Book
from benchbell.bench.happenings import Began, Clamped, Finished, GlueOn, Happening, Stamp, Started, Undone
from benchbell.buildlog.hands import Share
from benchbell.plan.odds.timings import Timing
from benchbell.planner.shop_hours import read_hours
from benchbell.planner.timings import Span, planned_minutes, recorded_spans, spans_of, timed
from small_recipes import FIT, PARTS, compiled, glue, work

WEEK = read_hours(None)
ANN, BOB = "a" * 16, "b" * 16

STOOL = PARTS + work("cut", ["leg"], 'station = "table saw"\nminutes = 20') + FIT + glue("")


def at(day, hour, minute=0):
    """A moment in December 2026, whose 7th is a Monday, in ms."""
    return int(datetime(2026, 12, day, hour, minute, tzinfo=UTC).timestamp() * 1000)


def span(began, ended, *shares):
    """An operation in hand from one moment to another; alone, where no shares of the time are given."""
    return Span(Timing("b", "bench", "ann", 30, 0), began, ended, shares or (Share(began, ended, 1),))


def book_of(*entries, pieces=1):
    """A stool's book: moments, who, what."""
    book = Book()
    sheet = compiled(STOOL, pieces)
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


def test_of_a_night_that_several_share_each_leaves_out_its_part():
    half = Share(at(7, 16), at(8, 9), 0.5)

    assert [one.real for one in timed([span(at(7, 16), at(8, 9), half)], WEEK, UTC)] == [60]


def test_two_pieces_done_together_in_twenty_minutes_teach_ten_each():
    together = [
        (at(7, 9, minute), ANN, what(f"{piece}/cut")) for minute, what in ((0, Began), (20, Finished)) for piece in "AB"
    ]

    assert [one.real for one in timed(recorded_spans("b", book_of(*together, pieces=2)), WEEK, UTC)] == [10, 10]


def test_a_batch_over_several_builds_teaches_this_one_its_part():
    beside = ((at(7, 9), ANN, Began("A/cut", 60)), (at(7, 10, 20), ANN, Finished("A/cut")))

    assert [one.real for one in timed(recorded_spans("b", book_of(*beside)), WEEK, UTC)] == [20]


def in_hand_at_once(other):
    """Two pieces' cuts, planned at 20 each: one in hand from 9:00 to 9:30, the other from 9:10, by another, to 9:40."""
    return book_of(
        (at(7, 9), ANN, Began("A/cut")),
        (at(7, 9, 10), other, Began("B/cut")),
        (at(7, 9, 30), ANN, Finished("A/cut")),
        (at(7, 9, 40), other, Finished("B/cut")),
        pieces=2,
    )


def test_minutes_in_which_a_person_has_several_in_hand_are_told_once():
    assert [one.real for one in timed(recorded_spans("b", in_hand_at_once(ANN)), WEEK, UTC)] == [20, 20]


def test_two_persons_take_nothing_from_each_other():
    assert [one.real for one in timed(recorded_spans("b", in_hand_at_once(BOB)), WEEK, UTC)] == [30, 30]


def test_different_work_in_hand_at_once_is_told_once_too():
    book = book_of(
        (at(7, 9), ANN, Began("A/cut")),
        (at(7, 9), ANN, Began("A/fit")),
        (at(7, 9, 30), ANN, Finished("A/cut")),
        (at(7, 9, 30), ANN, Finished("A/fit")),
    )

    assert sum(one.real for one in timed(recorded_spans("b", book), WEEK, UTC)) == pytest.approx(30)


def test_a_stop_without_a_name_is_planned_once_for_all_pieces():
    cuts = PARTS + work("cut", ["leg"], 'station = "mitre saw"\nminutes = { setup = 2, each = 5 }') + FIT + glue("")
    sheet = compiled(cuts, 2)
    a, b = (op for op in sheet.operations if op.name == "cut")

    assert planned_minutes(sheet, [a, b]) == {"A/cut": a.minutes, "B/cut": a.minutes - 2}
