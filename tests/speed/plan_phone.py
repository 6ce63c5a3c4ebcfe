"""How often a phone without a server puts first what the server's planner would put first.

States are sampled from builds of the shipped recipes, played through by the plan, one operation in six picked at
random; what rings is done first, such as taking clamps off. The phone was last synced up to a dozen operations ago and
still has the plan it got then; the server knows everything that was done since. phone_agrees_percent: with that
plan. phone_alone_agrees_percent: had it never got one. phone_costs_nothing_percent: with that plan, the phone's
choice is the server's, or one that the server could begin with and be done no later.
"""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial

from benchbell.bench.clocks import held_by
from benchbell.plan.advise import PlanRequest, advise
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Plan
from benchbell.plan.model.schedule import objective, order_of
from benchbell.plan.planner import plan_for
from benchbell.plan.report.messages import PlannedTask, PresentedPlan
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random
from benchbell.plan.search.serial_generation import generate_serial
from benchbell.plan.tasks.from_builds import problem_from_builds
from benchbell.planner.shop_hours import moment_text, read_hours, stretches
from plan.played import Played, some_recipes
from twins import ask_the_page

MONDAY = int(datetime(2026, 12, 7, 8, tzinfo=UTC).timestamp() * 1000)
MINUTE = 60_000
SHOPS, ALL_SHOPS = 8, 40
THOUGHT = 300
AWAY = 12
ASTRAY = 6


@dataclass
class Tally:
    """States seen, and in how many the phone agreed."""

    states: int = 0
    agreed: int = 0
    alone: int = 0
    free: int = 0


def figures(whole: bool) -> Iterator[tuple[str, float]]:
    """Names and values."""
    tally = Tally()
    for seed in range(ALL_SHOPS if whole else SHOPS):
        play(seed, tally)
    yield "phone_states", tally.states
    yield "phone_agrees_percent", 100 * tally.agreed / tally.states
    yield "phone_alone_agrees_percent", 100 * tally.alone / tally.states
    yield "phone_costs_nothing_percent", 100 * tally.free / tally.states


def play(seed: int, tally: Tally) -> None:
    """One shop from the first operation to the last."""
    rng = random.Random(seed)
    shop = Played(*some_recipes(rng), MONDAY)
    synced, kept = planned(shop, None)
    away = rng.randint(0, AWAY)
    while shop.open():
        shop.do_what_rings()
        if not shop.open():
            return
        presented, plan = planned(shop, kept)
        first = presented.steps[0]
        if first.setup_at - shop.now < MINUTE:
            count(shop, presented, plan, synced, tally)
        if away == 0:
            synced, kept, away = presented, plan, rng.randint(0, AWAY)
        away -= 1
        others = ready(shop, presented)
        step = rng.choice(others) if others and rng.randrange(ASTRAY) == 0 else first
        shop.now = max(shop.now, first.setup_at if step is first else shop.now)
        shop.do(step, shop.now + step.end - step.setup_at)


def request_at(shop: Played) -> PlanRequest:
    """The request for what is open."""
    hours = partial(stretches, read_hours(None), UTC, shop.now)
    return PlanRequest(shop.open(), hours, {}, shop.now, lambda ms, at: moment_text(ms, at, UTC))


def planned(shop: Played, before: Plan | None) -> tuple[PresentedPlan, Plan]:
    """The server's plan."""
    return advise(request_at(shop), lambda problem: [plan_for(problem, tries(THOUGHT), Random(1), before)])


def ready(shop: Played, presented: PresentedPlan) -> list[PlannedTask]:
    """Steps of the plan that could be done at once."""
    free = {
        (build.id, op.id)
        for build in shop.open()
        for op in build.sheet.operations
        if build.bench.operations[op.id].status == "ready" and not held_by(op, build.running, shop.now)
    }
    return [step for step in presented.steps if step.act == "work" and (step.build, step.operation) in free]


def count(shop: Played, presented: PresentedPlan, plan: Plan, synced: PresentedPlan, tally: Tally) -> None:
    """Ask the phone, and compare."""
    wanted = (presented.steps[0].build, presented.steps[0].operation)
    chosen = choice(shop, synced.steps)
    tally.states += 1
    tally.agreed += chosen == wanted
    tally.alone += choice(shop, ()) == wanted
    tally.free += chosen == wanted or (chosen is not None and costs_nothing(shop, plan, chosen))


def costs_nothing(shop: Played, plan: Plan, chosen: tuple[str, str]) -> bool:
    """True if starting with the chosen operation, all else in the plan's order, makes nothing worse."""
    request = request_at(shop)
    source = problem_from_builds(request.builds, request.hours, request.clamps, request.now)
    compiled = compile_problem(source.problem)
    order = order_of(compiled, plan)
    tasks = [source.tasks[compiled.ids[i]] for i in order]
    first = next(i for i, task in zip(order, tasks, strict=True) if (task.build, task.operation.id) == chosen)
    schedule = generate_serial(compiled, [first, *(i for i in order if i != first)])
    return schedule is not None and objective(compiled, schedule) <= plan.objective


def choice(shop: Played, steps: tuple[PlannedTask, ...]) -> tuple[str, str] | None:
    """What the phone puts first."""
    builds = shop.open()
    open_ = [{"id": build.id, "sheet": build.sheet, "bench": build.bench} for build in builds]
    advice = ask_the_page("advice", open_, shop.now, ends(shop.now), steps)["answer"]
    first = [*advice["now"], *advice["meanwhile"]][:1]
    return (first[0]["build"], first[0]["operation"]) if first else None


def ends(now: int) -> int:
    """When the hands stop today."""
    return now - now % (24 * 60 * MINUTE) + 17 * 60 * MINUTE
