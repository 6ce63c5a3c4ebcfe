"""The page's twin of the search for one pair of hands finds the same as the Python half, plan by plan."""

import pytest
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Hand, Plan, Window
from benchbell.plan.planner import best_plans, plan_for, plans_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.early_unclamp import unclamped_early
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.local_search import MOST_TO_PROVE
from benchbell.plan.search.random import Random
from benchbell.plan.search.stability import is_clearly_better, is_worth_changing, kept_schedule, values_of_plan
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.both_sides import as_told, same, schedule_told
from plan.busier_shops import KINDS, SOME
from plan.played import Played
from plan.problems import problems
from plan.replanned import do_first, source_at
from plan.shop_data import NAMES, shop_problem, with_craft
from plan.shop_day import MONDAY
from plan.simulated_shop import Shop
from twins import answer_of, ask_the_page

often = settings(max_examples=60)
seeds = st.integers(0, 2**31)


def with_earlier_plan(problem, seed):
    """A plan of part of the problem, as if the rest had been added since and some had been done."""
    keep = {op.id for n, op in enumerate(problem.ops) if (n + seed) % 5}
    part = replace(
        problem,
        ops=tuple(op for op in problem.ops if op.id in keep),
        links=tuple(link for link in problem.links if {link.before, link.after} <= keep),
        holds=tuple(hold for hold in problem.holds if {hold.take, hold.give} <= keep | {""}),
    )
    rest, _ = feasible_part(part)
    before = plan_for(rest, tries(20), Random(seed))
    return replace(before, placed=before.placed[seed % 3 :])


def same_plans(problem, count, seed, before=None):
    """The plans to choose from, the same on both sides."""
    here = best_plans(problem, tries(count), Random(seed), before)
    return same("plan_best", here, problem, count, seed, before)


@settings(max_examples=200)
@given(problems(most=12), seeds, st.sampled_from((5, 60, 120)))
def test_small_problems_are_planned_alike(problem, seed, count):
    rest, _ = feasible_part(problem)
    same_plans(rest, count, seed)
    here = list(plans_for(rest, tries(count), Random(seed)))
    same("plan_plans", here, rest, count, seed, None)


@often
@given(problems(most=12), seeds)
def test_an_earlier_plan_is_kept_alike(problem, seed):
    rest, _ = feasible_part(problem)
    before = with_earlier_plan(rest, seed)
    same_plans(rest, 60, seed, before)
    here = list(plans_for(rest, tries(60), Random(seed), before))
    same("plan_plans", here, rest, 60, seed, before)


@pytest.mark.parametrize("name", NAMES)
def test_generated_shops_are_planned_alike(name):
    assert len(same_plans(shop_problem(name), 100, 7)) > 1


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", SOME)
def test_generated_shops_with_more_to_heed_are_planned_alike(name, kind):
    problem = KINDS[kind](shop_problem(name))

    assert len(same_plans(problem, 80, 3, with_earlier_plan(problem, 3))) > 1


def test_more_work_than_edge_finding_is_tried_for_is_planned_alike():
    shops = [shop_problem(name) for name in ("shop04", "shop06", "shop13")]
    ops = [replace(op, id=f"{n} {op.id}", minutes=op.minutes // 3) for n, shop in enumerate(shops) for op in shop.ops]
    links = [
        replace(link, before=f"{n} {link.before}", after=f"{n} {link.after}")
        for n, shop in enumerate(shops)
        for link in shop.links
    ]
    whole = replace(shops[0], ops=tuple(ops), links=tuple(links), holds=())

    assert len(whole.ops) > MOST_TO_PROVE
    assert len(same_plans(whole, 60, 4)) > 3


@pytest.mark.parametrize("kind", KINDS)
def test_a_long_search_comes_to_the_same_end(kind):
    assert len(same_plans(KINDS[kind](shop_problem("shop09")), 400, 2)) > 3


def played_states(names, pieces, steps):
    """Problems on the way through some builds, each with what is left of the plan before."""
    shop, played = Shop(len(names)), Played(names, pieces, MONDAY)
    luck = {build.id: 0.0 for build in played.open()}
    before: Plan | None = None
    for _ in range(steps):
        source = source_at(played)
        plan = plan_for(source.problem, tries(20), Random(1), before)
        yield source.problem, before
        do_first(played, source, plan, shop, luck)
        before = replace(plan, placed=plan.placed[1:])


def in_hand(problem, id):
    """The problem with half of an operation done."""
    ops = [replace(op, begun=True, minutes=(op.minutes + 1) // 2) if op.id == id else op for op in problem.ops]
    return replace(problem, ops=tuple(ops))


@pytest.mark.parametrize(
    ("names", "pieces", "steps"), [(["hall-bench"], 2, 32), (["bedside-table", "mantel-clock"], 1, 18)]
)
def test_builds_in_hand_are_planned_alike(names, pieces, steps):
    for n, (problem, before) in enumerate(played_states(names, pieces, steps)):
        if n % 6 == 0:
            assert problem.craft
            same_plans(problem, 100, n, before)
        elif n % 6 == 3:
            same_plans(in_hand(problem, before.placed[0].op), 100, n, before)


@often
@given(problems(most=8), seeds)
def test_the_same_is_left_out(problem, seed):
    crew = (Hand("Anna", ("saw",) if seed % 2 else ()), Hand("Otto", ("saw",), (Window(0, 200 * (seed % 3)),)))
    for whole in (problem, replace(problem, crew=crew, hands=2)):
        rest, reasons = feasible_part(whole)
        same("plan_feasible", [rest, sorted(id for id, *_ in reasons)], whole)


@often
@given(problems(most=6, cycles=False), seeds)
def test_what_cannot_be_planned_is_refused_alike(problem, seed):
    here = answer_of(lambda: list(plans_for(problem, tries(5), Random(seed))))

    assert ask_the_page("plan_plans", problem, 5, seed, None) == as_told(here)


@often
@given(problems(most=8), seeds)
def test_one_who_is_away_now_and_then_is_planned_for_alike(problem, seed):
    anna = Hand("Anna", (), (Window(40, 300), Window(0, 0)))
    rest, _ = feasible_part(replace(problem, crew=(anna,)))
    here = list(plans_for(rest, tries(30), Random(seed)))
    same("plan_plans", here, rest, 30, seed, None)


def same_early(problem, count, seed):
    """All of a quick plan's operations as early as they may be, asked in some order."""
    plan = plan_for(problem, tries(count), Random(seed))
    acts = sorted((op.id for op in problem.ops), key=lambda id: (len(id) * seed % 7, id[::-1]))
    return plan, same("plan_unclamped", unclamped_early(problem, plan, acts), problem, plan, acts)


@often
@given(problems(most=10), seeds)
def test_clamps_come_off_alike(problem, seed):
    rest, _ = feasible_part(problem)
    same_early(rest, 20, seed)


@pytest.mark.parametrize("name", [*SOME, "shop08"])
def test_clamps_come_off_alike_in_generated_shops(name):
    plan, early = same_early(with_craft(shop_problem(name)), 40, 1)

    assert early != as_told(plan)


@often
@given(problems(most=10), seeds, st.sampled_from((0, 0, 20, 300)))
def test_what_is_kept_of_plans_is_alike(problem, seed, gone):
    rest, _ = feasible_part(problem)
    plan, other = with_earlier_plan(rest, seed), plan_for(rest, tries(40), Random(seed))
    now = replace(rest, start=rest.start + gone)
    compiled = compile_problem(now)
    old, new = kept_schedule(compiled, plan), kept_schedule(compiled, other)
    is_worth = is_worth_changing(compiled, old, new) if old and new else None
    same("plan_kept", [values_of_plan(compiled, plan), schedule_told(old), is_worth], now, plan, other)


figures = st.tuples(*[st.integers(0, 60), st.integers(0, 60), st.integers(0, 2), st.integers(0, 60), st.integers(0, 5)])


@settings(max_examples=200)
@given(figures, figures)
def test_what_is_clearly_better_is_judged_alike(old, new):
    same("plan_clearly_better", is_clearly_better(old, new), old, new)
