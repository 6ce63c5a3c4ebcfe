"""The checker finds every way in which a plan can break a rule."""

import pytest
from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Hand, Hold, Link, Op, Placed, Plan, Problem, Station, Window
from msgspec.structs import replace

PROBLEM = Problem(
    start=0,
    windows=(Window(0, 60), Window(60, 100), Window(200, 300)),
    stations=(Station("saw", "rip", {"rip": {"mitre": 10}, "mitre": {"rip": 15}}),),
    clamps={"bar": 4},
    ops=(
        Op("hand", 10, begun=True, piece="A"),
        Op("cut", 20, 5, "saw", "mitre", piece="A"),
        Op("glue", 15, piece="A"),
        Op("off", 5, piece="A", due=200, weight=2, by=100),
        Op("sand", 50, breakable=True, ready=70, piece="B"),
        Op("trim", 10, 0, "saw", piece="B"),
    ),
    links=(Link("cut", "glue", 5), Link("glue", "off", 20, 30), Link("sand", "trim")),
    holds=(Hold("bar", 3, "glue", "off"), Hold("bar", 1, "", "trim")),
)
"""The first two windows touch, and so count as one."""

SOUND = Plan(
    placed=(
        Placed("hand", 0, 0, 10, 10),
        Placed("cut", 10, 20, 40, 45),
        Placed("glue", 50, 50, 65, 65),
        Placed("sand", 70, 70, 220, 220),
        Placed("off", 220, 220, 225, 225),
        Placed("trim", 225, 225, 235, 235),
    ),
    finish=235,
    changes=1,
    overrun=(220 - 65 - 30) + (220 - 100),
    late=2 * (225 - 200),
    bound=100,
)


def moved(**places):
    """The sound plan with other times for some operations."""
    placed = tuple(Placed(p.op, *places[p.op]) if p.op in places else p for p in SOUND.placed)
    return replace(SOUND, placed=placed)


def swapped(a, b):
    """The sound plan with two entries exchanged and their times kept."""
    placed = list(SOUND.placed)
    placed[a], placed[b] = placed[b], placed[a]
    return replace(SOUND, placed=tuple(placed))


def test_a_sound_plan_has_no_faults():
    assert faults(PROBLEM, SOUND) == []


BROKEN = {
    "left out": (replace(SOUND, placed=SOUND.placed[:-1]), "trim stands in the plan 0 times, not 1"),
    "twice": (replace(SOUND, placed=(*SOUND.placed, SOUND.placed[0])), "hand stands in the plan 2 times"),
    "unknown": (replace(SOUND, placed=(*SOUND.placed, Placed("x", 0, 0, 0, 0))), "x stands in the plan 1 times, not 0"),
    "before it begins": (moved(hand=(-10, -10, 0, 0)), "before the plan begins at 0"),
    "before it is ready": (moved(sand=(69, 69, 219, 219)), "is ready only at 70"),
    "too short": (moved(glue=(50, 50, 60, 60)), "glue is worked on for 10 minutes, not 15"),
    "closed": (moved(off=(190, 190, 195, 195)), "off does not fit into working hours from 190 to 195"),
    "over closing time": (moved(off=(98, 98, 203, 203)), "off does not fit into working hours"),
    "broken but too long": (moved(sand=(70, 70, 221, 221)), "sand is worked on for 51 minutes"),
    "run cut short": (moved(cut=(10, 20, 40, 40)), "cut is free at 40, not 5 minutes after"),
    "backwards": (moved(hand=(5, 0, 10, 10)), "hand runs backwards"),
    "two at once": (moved(glue=(60, 60, 75, 75)), "sand is taken up at 70, while all hands are busy with glue"),
    "out of order": (swapped(2, 3), "glue stands after sand in the plan, and is taken up before it"),
    "wait cut short": (moved(glue=(49, 49, 64, 64)), "glue begins at 49, and may only at 50, after cut"),
    "station taken": (moved(trim=(44, 44, 54, 54)), "trim takes saw at 44"),
    "no setting up": (moved(cut=(20, 20, 40, 45)), "cut is set up in 0 minutes, not 10"),
    "setting up and leaving": (moved(cut=(9, 20, 40, 45)), "cut is set up in 11 minutes, not 10"),
    "finish": (replace(SOUND, finish=234), "finish is given as 234, and is 235"),
    "changes": (replace(SOUND, changes=0), "changes is given as 0, and is 1"),
    "overrun": (replace(SOUND, overrun=0), "overrun is given as 0, and is 245"),
    "late": (replace(SOUND, late=0), "late is given as 0, and is 50"),
    "bound": (replace(SOUND, bound=236), "its bound says not before 236"),
}


@pytest.mark.parametrize("way", BROKEN)
def test_a_broken_rule_is_named(way):
    plan, words = BROKEN[way]

    assert any(words in fault for fault in faults(PROBLEM, plan)), faults(PROBLEM, plan)


CREW = Problem(
    start=0,
    windows=(Window(0, 100),),
    stations=(),
    clamps={},
    ops=(Op("cut", 20, station="saw"), Op("sand", 40, breakable=True), Op("set", 0)),
    hands=2,
    crew=(Hand("Anna", away=(Window(40, 60),)), Hand("Otto", unable=("saw",))),
)

SHARED = Plan(
    placed=(
        Placed("cut", 0, 0, 20, 20, 0),
        Placed("sand", 20, 20, 80, 80, 0),
        Placed("set", 30, 30, 30, 30, 0),
    ),
    finish=80,
    changes=0,
)


def given_to(**rows):
    """The sound plan with other times and hands for some operations."""
    placed = tuple(Placed(p.op, *rows[p.op]) if p.op in rows else p for p in SHARED.placed)
    return replace(SHARED, placed=placed)


@pytest.mark.parametrize(
    ("plan", "words"),
    [
        (given_to(cut=(0, 0, 20, 20, 1)), "cut is done by Otto, who may not use the saw."),
        (given_to(cut=(0, 0, 20, 20, None)), "cut is done by None, who is not in the crew."),
        (given_to(cut=(0, 0, 20, 20, 2)), "cut is done by 2, who is not in the crew."),
        (given_to(sand=(10, 10, 70, 70, 0)), "sand is taken up at 10, while Anna is busy with cut."),
        (given_to(sand=(20, 20, 60, 60, 0)), "sand is worked on for 20 minutes, not 40."),
        (given_to(set=(50, 50, 50, 50, 0)), "set does not fit into working hours from 50 to 50."),
    ],
)
def test_a_broken_rule_of_hands_that_differ_is_named(plan, words):
    assert faults(CREW, SHARED) == []
    assert words in faults(CREW, plan)


def test_nobody_is_named_where_all_are_alike_and_a_crew_is_counted():
    assert "cut is done by 0, who is not in the crew." in faults(replace(CREW, crew=()), SHARED)
    assert "The crew has 2 hands, not 3." in faults(replace(CREW, hands=3), SHARED)


def test_begun_work_comes_first():
    problem = replace(PROBLEM, ops=tuple(replace(op, begun=op.id == "sand") for op in PROBLEM.ops))

    assert faults(problem, SOUND) == [
        f"{id} is taken up before sand, which is in hand already." for id in ("hand", "cut", "glue")
    ]


def test_predecessors_of_begun_work_may_come_before_it():
    links = (*PROBLEM.links, Link("hand", "cut"), Link("glue", "sand"))
    problem = replace(PROBLEM, links=links, ops=tuple(replace(op, begun=op.id == "sand") for op in PROBLEM.ops))

    assert faults(problem, SOUND) == []


def test_a_station_is_not_left_before_its_run_is_over():
    ops = (Op("a", 10, 30, "saw"), Op("b", 10, 0, "saw"))
    problem = replace(PROBLEM, ops=ops, links=(), holds=())
    plan = Plan((Placed("a", 0, 0, 10, 40), Placed("b", 10, 10, 20, 20)), 40, 0)

    assert faults(problem, plan) == ["b takes saw at 10, and a leaves it only at 40."]


def test_setting_up_stays_in_the_window_of_its_work():
    ops = (Op("a", 30, 0, "saw", "mitre"),)
    problem = replace(PROBLEM, ops=ops, links=(), holds=())
    plan = Plan((Placed("a", 90, 200, 230, 230),), 230, 1)

    assert "a does not fit into working hours from 90 to 230." in faults(problem, plan)


def test_clamps_in_use_are_counted_from_the_beginning_to_the_end_of_taking_off():
    problem = replace(PROBLEM, holds=(*PROBLEM.holds, Hold("bar", 1, "glue", "off")))

    assert "5 bar clamps are in use at 50, of 4." in faults(problem, SOUND)


def test_clamps_for_no_time_at_all_are_free_again_for_what_begins_at_that_moment():
    holds = (Hold("bar", 2, "mark", "mark"), Hold("bar", 1, "glue", "glue"))
    problem = Problem(0, (Window(0, 100),), (), {"bar": 2}, (Op("mark", 0), Op("glue", 30)), (), holds)
    after = Plan((Placed("mark", 0, 0, 0, 0), Placed("glue", 0, 0, 30, 30)), 30, 0)
    within = Plan((Placed("glue", 0, 0, 30, 30), Placed("mark", 20, 20, 20, 20)), 30, 0)

    assert faults(problem, after) == []
    assert "3 bar clamps are in use at 20, of 2." in faults(problem, within)


def test_clamps_do_not_come_off_before_they_go_on():
    problem = replace(PROBLEM, links=(), holds=(Hold("bar", 1, "off", "glue"),))

    assert "glue takes clamps off before off has put them on." in faults(problem, SOUND)


def test_two_pairs_of_hands_may_do_two_things_at_once_and_not_three():
    ops = (Op("a", 10), Op("b", 10), Op("c", 10))
    problem = replace(PROBLEM, ops=ops, links=(), holds=(), hands=2)
    plan = Plan(tuple(Placed(id, 0, 0, 10, 10) for id in "abc"), 10, 0)

    assert faults(problem, plan) == ["c is taken up at 0, while all hands are busy with a, b."]
