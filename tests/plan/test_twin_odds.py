"""The page's twin of what the planner knows of odds, asked the same questions as the Python half."""

from functools import cache
from random import Random
from zlib import crc32

import msgspec
import pytest
from benchbell.plan.odds.choice import chosen, is_clearly_less
from benchbell.plan.odds.draws import Duration, drawn_minutes
from benchbell.plan.odds.pace import UNTIMED, learned, of_builds
from benchbell.plan.odds.paced import at_pace
from benchbell.plan.odds.retiming import retiming_of
from benchbell.plan.odds.samples import durations_of
from benchbell.plan.odds.timings import Timing
from benchbell.plan.planner import best_plans
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random as Random32
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.played import Played, some_recipes
from plan.replanned import do_first, source_at
from plan.shop_day import MONDAY
from plan.simulated_shop import Shop
from twins import ask_the_page

SHOPS = (0, 1, 2, 3, 5, 7, 11, 13)
NAMES = ("ann", "7", "constructor")
"""Of persons; two of them are no usual keys on the page, nor is a kind or build of the last name."""

outcomes = st.tuples(*[st.one_of(st.just(0), st.integers(0, 90), st.integers(0, 10**8))] * 3)

often = settings(max_examples=150, deadline=None)  # the first answer waits for node to start


def answered(ask, *given):
    """The page's answer."""
    return ask_the_page(ask, *given)["answer"]


def plain(value):
    """The value as JSON has it."""
    return msgspec.json.decode(msgspec.json.encode(value))


@cache
def shop_of(seed):
    """What a simulated shop has learned, the problem of what is left of open builds, and plans for it.

    Some shops have built the same before, in some a part of the open builds was timed, of one nothing is known.
    """
    names, pieces = some_recipes(Random(seed))
    played, shop = Played(names, pieces, MONDAY), Shop(seed)
    opened = played.open()
    timings = [one for build in opened for one in shop.logged(build.sheet, seed % 4)]
    for n, one in enumerate(shop.logged(opened[0].sheet, 1)[: seed * 4]):
        timings.append(Timing(opened[0].id, one.kind, NAMES[n % 3], one.planned, one.real))
    pace = of_builds(learned(timings), {build.id for build in opened})
    for _ in range(seed * 3):
        source = source_at(played)
        (plan, *_) = best_plans(source.problem, tries(1), Random32(1))
        do_first(played, source, plan, shop, {build.id: 0.0 for build in opened})
    source = source_at(played)
    problem = at_pace(source.problem, source.tasks, pace)
    return pace, source, problem, best_plans(problem, tries(120), Random32(seed))


@pytest.mark.parametrize("seed", SHOPS)
def test_the_same_minutes_are_drawn_on_the_phone(seed):
    pace, source, *_ = shop_of(seed)
    named = Duration("odd", 40, "constructor", "constructor")
    durations = [*durations_of(source.problem, source.tasks), named]

    assert answered("plan_durations", source.problem, source.tasks) == plain(durations[:-1])
    for known in (pace, UNTIMED):
        for count in (6, 9, 36):
            assert answered("plan_drawn_minutes", known, durations, count) == drawn_minutes(known, durations, count)


@pytest.mark.parametrize("seed", SHOPS)
def test_work_takes_as_long_in_a_known_shop_on_the_phone(seed):
    pace, source, problem, _ = shop_of(seed)
    longer = replace(source.problem, ops=tuple(replace(op, minutes=500) for op in source.problem.ops))

    assert answered("plan_at_pace", source.problem, source.tasks, pace) == plain(problem)
    assert answered("plan_at_pace", longer, source.tasks, pace) == plain(at_pace(longer, source.tasks, pace))


@pytest.mark.parametrize("seed", SHOPS)
def test_of_a_dozen_plans_the_phone_chooses_the_same(seed):
    pace, source, problem, plans = shop_of(seed)
    for first in range(0, len(plans), 2):
        ordered = plans[first:] + plans[:first]
        here = chosen(problem, source.tasks, ordered, pace)

        assert answered("plan_chosen", problem, source.tasks, ordered, pace) == ordered.index(here)


def test_of_these_shops_some_choose_another_than_the_first():
    assert sum(len(plans) > 1 for *_, plans in map(shop_of, SHOPS)) > len(SHOPS) / 2
    assert {pace.timed > 0 for pace, *_ in map(shop_of, SHOPS)} == {True, False}
    assert any(
        chosen(problem, source.tasks, plans[::-1], pace) is not plans[-1]
        for pace, source, problem, plans in map(shop_of, SHOPS)
    )


@pytest.mark.parametrize("seed", SHOPS)
def test_an_order_is_timed_again_the_same_on_the_phone(seed):
    pace, source, problem, _ = shop_of(seed)
    retiming = retiming_of(problem)
    for minutes in drawn_minutes(pace, durations_of(problem, source.tasks), 6):
        order = retiming.compiled.order

        assert answered("plan_retimed", problem, order, minutes) == plain(retiming.retime(order, minutes))


@often
@given(st.lists(st.tuples(outcomes, outcomes), min_size=2, max_size=9))
def test_what_is_clearly_less_is_so_on_the_phone(pairs):
    new, old = zip(*pairs, strict=True)

    assert answered("plan_is_clearly_less", new, old) == is_clearly_less(new, old)


@often
@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_a_name_has_the_same_luck_on_the_phone(name):
    assert answered("plan_crc32", name) == crc32(name.encode())
