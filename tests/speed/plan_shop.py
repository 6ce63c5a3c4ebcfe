"""How good and how quick plans of one maker's work are, on the generated shops of tests/data/shop.

shop_gap_…_percent: mean of finish over best known finish, less 1, over the 20 shops and 3 seeds (5 with --all);
shop_open_gap_…_percent: the same in open minutes, over the best that any search has found since (found.csv), and
shop_extra_setups_…: setup changes more than in that plan; shop_nights_over: of 20 shops, how many finish on a later day
than best known; shop_changes: mean setup changes; both after 250 ms, and with _1s after 1 s;
shop_bound_gap_percent: how far the 1 s plan is over its own proven bound; shop_found_bound_gap_percent: how far the
best that was found is. first_plan_1000_s: from a problem of 1,000
operations to a first plan, including the search for what cannot be planned; growth_exponent: of that time from 100
operations on. Seconds are CPU time of this process, so that other work on the machine matters less. The checker judges
every plan.
"""

from collections.abc import Iterator
from math import log10
from statistics import mean, median
from time import process_time

from benchbell.plan.model.check import faults
from benchbell.plan.model.hours import hours_of, open_minutes
from benchbell.plan.model.problem import Plan, Problem, Window
from benchbell.plan.planner import plan_for, plans_for
from benchbell.plan.search.budget import within
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.random import Random
from msgspec.structs import replace
from plan.shop_data import NAMES, best_known, found, shop_problem

DAY = 24 * 60
SEEDS = (1, 2, 3, 4, 5)
MANY = "shop12"
"""A hundred operations, of which ten times as many are made by doing all of it ten times."""


def figures(everything: bool) -> Iterator[tuple[str, float]]:
    """Each figure by its name."""
    seeds = SEEDS if everything else SEEDS[:3]
    for name, suffix, seconds in (("250ms", "", 0.25), ("1s", "_1s", 1.0)):
        plans = {(shop, seed): planned(shop_problem(shop), seconds, seed) for shop in NAMES for seed in seeds}
        yield f"shop_gap_{name}_percent", mean(100 * over(shop, plan) for (shop, _), plan in plans.items())
        yield f"shop_nights_over{suffix}", sum(nights(shop, plan) for (shop, _), plan in plans.items()) / len(seeds)
        yield f"shop_changes{suffix}", mean(plan.changes for plan in plans.values())
        yield f"shop_open_gap_{name}_percent", mean(100 * over_found(shop, plan) for (shop, _), plan in plans.items())
        yield f"shop_extra_setups_{name}", mean(plan.changes - found()[shop][1] for (shop, _), plan in plans.items())
    yield "shop_bound_gap_percent", mean(100 * (plan.finish / plan.bound - 1) for plan in plans.values())
    bounds = {shop: max(plan.bound for (other, _), plan in plans.items() if other == shop) for shop in NAMES}
    yield "shop_found_bound_gap_percent", mean(100 * (found()[shop][0] / bounds[shop] - 1) for shop in NAMES)
    small, large = (median(first_plan(times_over(MANY, times)) for _ in range(5)) for times in (1, 10))
    yield "first_plan_100_s", small
    yield "first_plan_1000_s", large
    yield "growth_exponent", log10(large / small)


def planned(problem: Problem, seconds: float, seed: int) -> Plan:
    """The plan after so many seconds; the checker must find no faults."""
    plan = plan_for(problem, within(seconds, process_time), Random(seed))
    assert not faults(problem, plan), faults(problem, plan)
    return plan


def over(shop: str, plan: Plan) -> float:
    """Share by which it finishes later than the best that is known: finish / best - 1, minutes from Monday 00:00."""
    return plan.finish / best_known()[shop][0] - 1


def over_found(shop: str, plan: Plan) -> float:
    """Share by which it finishes later than the best that was found, in open minutes."""
    hours = hours_of(shop_problem(shop).windows, shop_problem(shop).start)
    return open_minutes(hours, plan.finish) / open_minutes(hours, found()[shop][0]) - 1


def nights(shop: str, plan: Plan) -> bool:
    """Whether it finishes on a later day than the best that is known."""
    return plan.finish // DAY > best_known()[shop][0] // DAY


def first_plan(problem: Problem) -> float:
    """Seconds until there is a plan, including the search for what cannot be planned."""
    start = process_time()
    rest, reasons = feasible_part(problem)
    plan = next(plans_for(rest, within(60, process_time), Random(1)))
    taken = process_time() - start
    assert not reasons and not faults(problem, plan)
    return taken


def times_over(shop: str, times: int) -> Problem:
    """All of a shop's work so many times, its hours as many times as long."""
    one = shop_problem(shop)
    weeks = -(-one.windows[-1].end // (7 * DAY))
    names = [f"{n}." for n in range(times)]
    return replace(
        one,
        windows=tuple(
            Window(w.start + n * weeks * 7 * DAY, w.end + n * weeks * 7 * DAY)
            for n in range(times)
            for w in one.windows
        ),
        ops=tuple(replace(op, id=n + op.id, piece=n + op.piece) for n in names for op in one.ops),
        links=tuple(replace(x, before=n + x.before, after=n + x.after) for n in names for x in one.links),
        holds=tuple(replace(hold, take=n + hold.take, give=n + hold.give) for n in names for hold in one.holds),
    )
