"""Real attended minutes, worked by hand: two pieces of one operation, planned at 10 and at 10 minutes each."""

import pytest
from benchbell.bench.book import Book
from benchbell.bench.happenings import Began, Clamped, Finished, Happening, Stamp, Started, What
from benchbell.buildlog.story import build_log
from benchbell.recipe.compiler import compile_text

PHONE, TABLET = "00000000000000a1", "00000000000000b2"
START, MINUTE = 1_790_000_000_000, 60_000

RECIPE = """
title = "Stool"

[[part]]
id = "leg"
count = 4
stock = "white ash"
size = ["400 mm", "40 mm", "40 mm"]

[[operation]]
id = "cut"
parts = ["leg"]
station = "mitre saw"
do = "Cut the legs."
minutes = { setup = 2, each = 2 }

[[operation]]
id = "sand"
parts = ["leg"]
station = "sanding"
do = "Sand them."
minutes = { each = 5 }
"""

SHEET = compile_text(RECIPE, "stool.toml", 3)


def minutes_of(*happened: tuple[int, str, What]) -> dict[str, float | None]:
    """By operation, the minutes its log has, of what happened so many minutes after the start, on which device."""
    book = Book()
    for n, (at, device, what) in enumerate([(0, PHONE, Started("Stool", SHEET, RECIPE, {})), *happened]):
        stamp = Stamp(START + at * MINUTE, n, device)
        book.add(Happening(f"h{n}", n, stamp, "b", (), what))
    log = build_log("b", book, {})
    assert log is not None
    return {op.id: op.hands_minutes for op in log.operations if op.hands_minutes is not None}


def began(operation: str, at: int, device: str = PHONE, beside: float = 0) -> tuple[int, str, What]:
    return at, device, Began(operation, beside)


def ended(operation: str, at: int, device: str = PHONE) -> tuple[int, str, What]:
    return at, device, Finished(operation)


def test_each_piece_is_planned_with_its_setup():
    assert [(op.id, op.minutes) for op in SHEET.operations if op.name == "cut"] == [
        ("A/cut", 10.0), ("B/cut", 10.0), ("C/cut", 10.0),
    ]  # fmt: skip


def test_one_piece_after_the_other_has_its_own_time():
    assert minutes_of(began("A/cut", 1), ended("A/cut", 9), began("B/cut", 9), ended("B/cut", 15)) == {
        "A/cut": 8.0,
        "B/cut": 6.0,
    }


def test_pieces_in_hand_at_once_share_the_time():
    together = minutes_of(began("A/cut", 1), began("B/cut", 1), ended("A/cut", 17), ended("B/cut", 17))

    assert together == {"A/cut": 8.0, "B/cut": 8.0}


def test_what_goes_on_after_the_others_end_is_its_own():
    # 1 to 13 shared by three: 4 each; 13 to 19 by two: 3 each; 19 to 21 by one: 2.
    three = minutes_of(
        *(began(f"{piece}/cut", 1) for piece in "ABC"), ended("A/cut", 13), ended("B/cut", 19), ended("C/cut", 21)
    )

    assert three == {"A/cut": 4.0, "B/cut": 7.0, "C/cut": 9.0}


def test_two_people_at_once_have_each_their_own_time():
    assert minutes_of(began("A/cut", 1), began("B/cut", 1, TABLET), ended("A/cut", 9), ended("B/cut", 9)) == {
        "A/cut": 8.0,
        "B/cut": 8.0,
    }


def test_another_operation_in_hand_takes_nothing_away():
    assert minutes_of(began("A/cut", 1), began("B/sand", 3), ended("B/sand", 8), ended("A/cut", 11)) == {
        "A/cut": 10.0,
        "B/sand": 5.0,
    }


def test_other_builds_have_their_share_of_the_time():
    # Planned at 10 each; beside them 20 in another build: a quarter of 16 minutes for each.
    assert minutes_of(
        began("A/cut", 1, beside=20), began("B/cut", 1, beside=20), ended("A/cut", 17), ended("B/cut", 17)
    ) == {"A/cut": 4.0, "B/cut": 4.0}


@pytest.mark.parametrize("end", [Clamped, Finished])
def test_hands_are_free_once_the_clamps_are_on_or_at_the_end(end):
    assert minutes_of(began("A/cut", 1), (6, PHONE, end("A/cut"))) == {"A/cut": 5.0}


def test_what_was_not_recorded_has_no_time():
    assert minutes_of(ended("A/cut", 9), began("B/cut", 9)) == {}
