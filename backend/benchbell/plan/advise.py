"""All the way from open builds to a plan that people read."""

from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.odds.choice import chosen
from benchbell.plan.odds.pace import UNTIMED, Pace
from benchbell.plan.odds.paced import at_pace
from benchbell.plan.report.messages import PresentedPlan
from benchbell.plan.report.presentation import present
from benchbell.plan.report.unfit_air import unfit_operations, with_unfit
from benchbell.plan.search.early_unclamp import unclamped_early
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.tasks.from_builds import NO_FIXTURES, problem_from_builds
from benchbell.plan.tasks.hours import Calendar, Worker
from benchbell.plan.tasks.minutes import Gone, none_gone
from benchbell.plan.tasks.task import OpenBuild, Task, Unplanned
from benchbell.recipe.unfit_air import Air


class PlanRequest(Struct, frozen=True):
    """What is to be planned. now: server time in ms. clamps: how many the shop has, by kind. hands: pairs of hands.

    say: words for a moment in ms, as said at another. pace: how long work really takes in this shop.
    fixtures: how many the shop has of its own fixtures, by name. air: by which glue and finish are judged, None where
    nobody read it. finishing_room: coats dry where no dust gets. gone: how much of the shop's hours went by since then.
    workers: who works here; empty for as many pairs of hands as `hands` says, all alike.
    """

    builds: Sequence[OpenBuild]
    hours: Calendar
    clamps: Mapping[str, int]
    now: int
    say: Callable[[int, int], str]
    hands: int = 1
    pace: Pace = UNTIMED
    fixtures: Mapping[str, int] = NO_FIXTURES
    air: Air | None = None
    finishing_room: bool = False
    gone: Gone = none_gone
    workers: Sequence[Worker] = ()


def advise(request: PlanRequest, find: Callable[[Problem], Sequence[Plan]]) -> tuple[PresentedPlan, Plan, bool]:
    """The plan chosen of those that `find` makes, presented, and in minutes from now; and whether it is the first.

    What cannot be planned is in `unplanned`. Of several plans the first stays, unless another has clearly better odds.
    """
    whole = problem_from_builds(
        request.builds,
        request.hours,
        request.clamps,
        request.now,
        request.hands,
        request.fixtures,
        request.finishing_room,
        request.gone,
        request.workers,
    )
    problem, left_out = feasible_part(whole.problem)
    problem = at_pace(problem, whole.tasks, request.pace)
    source = replace(whole, problem=problem)
    afterwards = [op.id for op in problem.ops if whole.tasks[op.id].act != "work"]
    plans = find(problem)
    best = chosen(problem, whole.tasks, plans, request.pace)
    plan = unclamped_early(problem, best, afterwards)
    unplanned: dict[tuple[str, str], Unplanned] = {}
    for key, reason, after in left_out:
        one = unplanned_task(source.tasks[key], reason, source.tasks, source.fixtures)
        if after:  # what it comes after was left out before it
            cause = unplanned[one.build, source.tasks[after].operation.id]
            first = cause.after or cause.operation
            one = replace(one, after="" if first == one.operation else first)
        unplanned.setdefault((one.build, one.operation), one)  # a glue-up is several tasks; one reason is enough
    presented = present(
        source,
        plan,
        request.builds,
        request.now,
        request.say,
        unplanned.values(),
        request.pace,
    )
    return with_unfit(presented, unfit_operations(request.builds, request.air)), plan, best is plans[0]


def unplanned_task(task: Task, reason: str, tasks: Mapping[str, Task], fixtures: Mapping[str, str]) -> Unplanned:
    """Why a task cannot be planned. Keys in the reason are replaced by titles. tasks: by key. fixtures: titles."""
    titles = {**{key: one.operation.title for key, one in tasks.items()}, **fixtures}
    for key in sorted(titles, key=len, reverse=True):  # one key may be the end of a longer one
        reason = reason.replace(key, f"“{titles[key]}”") if key in reason else reason
    return Unplanned(task.build, task.operation.id, reason)
