"""Breakable work starts where closing time leaves no short piece, if that costs less than the piece."""

import pytest
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Craft, Op, Problem, Station, Window
from benchbell.plan.search.serial_generation import generate_serial
from benchbell.plan.search.untorn import untorn_start

DAYS = (Window(0, 240), Window(300, 540), Window(1440, 1980))
"""Two days, the first with an hour for a meal."""


@pytest.mark.parametrize(
    ("minutes", "start", "found"),
    [
        (60, 480, 480),
        (60, 500, 500),
        (60, 490, 495),
        (60, 530, 1440),
        (29, 525, 1440),
        (29, 520, 520),
        (60, 230, 230),
    ],
    ids=[
        "done by closing",
        "two long pieces",
        "a few minutes later",
        "the next morning",
        "too short for two pieces",
        "a gap that costs as much as the piece",
        "a meal in between",
    ],
)
def test_work_starts_where_no_piece_is_short(minutes, start, found):
    ops = (Op("sand", minutes, breakable=True),)
    compiled = compile_problem(Problem(0, DAYS, (), {}, ops, craft=Craft(torn=20)))

    assert untorn_start(compiled, compiled.craft, compiled.hours, 0, start, 0) == found


def test_setting_up_stays_before_work_that_moves_to_the_next_morning():
    ops = (Op("first", 515), Op("cut", 60, station="saw", setup="rip", breakable=True))
    windows = (Window(0, 540), Window(1440, 1980))
    saw = Station("saw", minutes={"": {"rip": 12}})
    schedule = generate_serial(compile_problem(Problem(0, windows, (saw,), {}, ops, craft=Craft())), [0, 1])

    assert (schedule.start[1], schedule.end[1]) == (1452, 1512)


def test_without_craft_work_starts_at_once():
    ops = (Op("first", 530), Op("sand", 60, breakable=True))
    problem = Problem(0, (Window(0, 540), Window(1440, 1980)), (), {}, ops)

    assert generate_serial(compile_problem(problem), [0, 1]).start == [0, 530]
