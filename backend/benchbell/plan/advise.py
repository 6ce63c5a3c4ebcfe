"""The whole way from open builds to a plan that is told."""

from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.planner import Budget
from benchbell.plan.report.messages import PlanTold, Unplanned
from benchbell.plan.report.presentation import tell
from benchbell.plan.search.early_unclamp import tidied
from benchbell.plan.search.infeasible import possible
from benchbell.plan.search.slack import slack
from benchbell.plan.tasks.from_builds import Hours, pose
from benchbell.plan.tasks.task import OpenBuild, ToDo


class Asked(Struct, frozen=True):
    """What is to be planned, and for whom. clamps: by kind; hours: see Hours.

    say: a moment in ms as one says it at another. shares: real over planned times of operations that were timed.
    """

    builds: Sequence[OpenBuild]
    hours: Hours
    clamps: Mapping[str, int]
    now: int
    say: Callable[[int, int], str]
    hands: int = 1
    shares: Sequence[float] = ()


def advise(asked: Asked, find: Callable[[Problem], Plan]) -> tuple[PlanTold, Plan]:
    """The plan that `find` makes, told; what cannot be planned is said instead."""
    whole = pose(asked.builds, asked.hours, asked.clamps, asked.now, asked.hands)
    problem, left_out = possible(whole.problem)
    posed = replace(whole, problem=problem)
    off = [op.id for op in problem.ops if whole.acts[op.id].act == "clamps-off"]
    plan = tidied(problem, find(problem), off)
    why = [said(posed.acts[key], reason, posed.acts) for key, reason in left_out]
    once: dict[tuple[str, str], Unplanned] = {}
    for one in why:
        once.setdefault((one.build, one.operation), one)  # gluing and taking the clamps off are two acts of one
    told = tell(posed, plan, slack(problem, plan), asked.builds, asked.now, asked.say, once.values(), asked.shares)
    return told, plan


def said(act: ToDo, reason: str, acts: Mapping[str, ToDo]) -> Unplanned:
    """Why an act cannot be planned, other acts in it named by their titles."""
    for key in sorted(acts, key=len, reverse=True):  # a key may be the end of a longer one
        reason = reason.replace(key, f"“{acts[key].operation.title}”") if key in reason else reason
    return Unplanned(act.build, act.operation.id, reason)


def within(seconds: float, clock: Callable[[], float]) -> Budget:
    """A budget of so many seconds by that clock, which begins now."""
    began = clock()
    return lambda: 1 - (clock() - began) / seconds
