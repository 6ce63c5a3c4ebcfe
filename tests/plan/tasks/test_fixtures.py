"""Fixtures of open builds as a planning problem has them."""

from benchbell.bench.happenings import Began, Clamped, ClampsOff, Finished
from benchbell.plan.model.problem import Hold
from benchbell.plan.tasks.from_builds import problem_from_builds
from bow_recipe import BORE, LAMINATE, MADE, OWNED, RELEASE, START, UNTIL
from plan.tasks.test_from_builds import MINUTE, build_of

FORM = "fixture b|bow-form"
PRESS = "fixture |VACUUM-PRESS"
READY = (Finished("saw-form"), Finished("A/rehearse"))


def problem_of(*builds, owned=None):
    """The problem, with hands at work around the clock."""
    hours = [(0, 10_000 * MINUTE)]
    return problem_from_builds(builds, lambda minutes: hours, {}, 0, fixtures=owned or {}).problem


def test_a_glue_up_holds_its_form_until_its_clamps_are_off():
    problem = problem_of(build_of(START + MADE + LAMINATE))

    assert problem.holds == (Hold(FORM, 1, "b|A/laminate|work", "b|A/laminate|clamps-off"),)
    assert problem.clamps == {FORM: 1}


def test_with_held_until_the_form_is_held_until_that_operation_is_done():
    problem = problem_of(build_of(START + MADE + UNTIL + RELEASE))

    assert problem.holds == (Hold(FORM, 1, "b|A/laminate|work", "b|A/release|work"),)


def test_work_without_clamps_holds_its_fixture_while_hands_are_on_it():
    problem = problem_of(build_of(START + MADE + LAMINATE + RELEASE + BORE))

    assert problem.holds[1] == Hold(FORM, 1, "b|A/bore|work", "b|A/bore|work")


def test_what_stands_in_it_already_holds_it_from_the_beginning():
    build = build_of(START + MADE + LAMINATE, *READY, Clamped("A/laminate"))

    assert problem_of(build).holds == (Hold(FORM, 1, "", "b|A/laminate|clamps-off"),)


def test_a_bow_whose_clamps_are_off_still_stands_in_the_form_until_it_is_taken_off():
    off = (Clamped("A/laminate"), ClampsOff("A/laminate", ""), Finished("A/laminate"))
    build = build_of(START + MADE + UNTIL + RELEASE, *READY, *off)

    assert problem_of(build).holds == (Hold(FORM, 1, "", "b|A/release|work"),)


def test_a_press_of_the_shop_is_one_for_all_builds():
    builds = [build_of(START + OWNED + LAMINATE, id=id) for id in ("b1", "b2")]
    problem = problem_of(*builds)

    assert [hold.kind for hold in problem.holds] == [PRESS, PRESS]
    assert problem.clamps == {PRESS: 1}


def test_or_as_many_as_the_shop_has_counted():
    assert problem_of(build_of(START + OWNED + LAMINATE), owned={"Vacuum press": 2}).clamps == {PRESS: 2}


def test_a_pair_is_two_of_one_fixture_and_one_glue_up_holds_both():
    pair = START.replace("once = true\n\n", "once = true\ncount = 2\n\n", 1) + MADE
    problem = problem_of(build_of(pair + LAMINATE.replace("bow-form = 1", "bow-form = 2"), pieces=2))

    assert problem.clamps == {FORM: 2}
    assert [(hold.kind, hold.count) for hold in problem.holds] == [(FORM, 2), (FORM, 2)]


def test_two_that_stand_in_one_form_against_all_advice_are_both_planned_on():
    build = build_of(
        START + MADE + LAMINATE, *READY, Finished("B/rehearse"), Clamped("A/laminate"), Began("B/laminate"), pieces=2
    )

    assert problem_of(build).clamps == {FORM: 2}
