"""Plans with fixtures, from the recipe to the reason: two pieces of work never stand in one form."""

from itertools import pairwise

from benchbell.plan.advise import advise
from bow_recipe import GLUE_UP, LAMINATE, MADE, OWNED, RELEASE, START, UNTIL
from msgspec.structs import replace
from plan.shop_day import best_of_a_hundred, build_of, presented, request_for

DAY = 24 * 60 * 60_000


def laminations(plan):
    """When each lamination begins, in order, ms."""
    return sorted(step.start for step in plan.steps if "laminate" in step.operation and step.act == "work")


def apart(moments):
    """The least time between two, ms."""
    return min(later - earlier for earlier, later in pairwise(moments))


def test_three_bows_for_one_form_are_laminated_a_day_apart():
    """What a trial saw: three laminations in one press at 09:35, 09:55 and 10:15, each clamped for 24 h."""
    plan = presented(build_of(START + MADE + LAMINATE + RELEASE, pieces=3))

    assert len(laminations(plan)) == 3
    assert apart(laminations(plan)) >= DAY


def test_two_builds_that_use_the_shops_press_are_not_both_planned_into_it():
    builds = [build_of(START + OWNED + LAMINATE, id=id) for id in ("b1", "b2")]

    assert apart(laminations(presented(*builds))) >= DAY


def test_into_two_presses_they_are():
    builds = [build_of(START + OWNED + LAMINATE, id=id) for id in ("b1", "b2")]
    request = replace(request_for(*builds), fixtures={"vacuum press": 2})

    assert apart(laminations(advise(request, best_of_a_hundred)[0])) < DAY


def test_a_lamination_says_what_kept_it_from_the_form():
    """A rehearsal would be what waits: it belongs shortly before the glue-up."""
    plan = presented(build_of(START + MADE + GLUE_UP, pieces=2))
    second = [step for step in plan.steps if "laminate" in step.operation and step.act == "work"][1]

    assert second.fixtures == {"Bow form": 1}
    assert "“Bow form” is in use until then." in second.reason


def test_taking_clamps_off_says_who_waits_for_the_form():
    plan = presented(build_of(START + MADE + GLUE_UP, pieces=2))
    off = next(step for step in plan.steps if step.act == "clamps-off")

    assert off.reason.startswith("“Laminate, B” waits for “Bow form”.")


def test_taking_the_bow_off_frees_the_form():
    plan = presented(build_of(START + MADE + UNTIL + RELEASE, pieces=2))
    freed = next(step for step in plan.steps if step.operation == "A/release")

    assert freed.reason.startswith("“Laminate, B” waits for “Bow form”.")


def test_a_press_that_the_shop_has_no_more_is_said_by_its_title():
    request = replace(request_for(build_of(START + OWNED + LAMINATE)), fixtures={"vacuum press": 0})
    reasons = {one.operation: one.reason for one in advise(request, best_of_a_hundred)[0].unplanned}

    assert reasons["A/laminate"] == (
        "It holds 1 of “Bow form”, and there are 0. Hold fewer at once, or count the shop's again."
    )
