"""What a plan would be without one thing: moved operations and relaxed problems, judged by the checker alone."""

from benchbell.plan.model.check import faults
from benchbell.plan.model.hours import end_of, hours_of
from benchbell.plan.model.problem import Placed, Plan, Problem, Window
from msgspec.structs import replace

FIGURES = ("The plan's", "The plan finishes")
"""How the checker's sentences about figures begin: a moved operation changes them, and that is no fault."""


def moved(problem: Problem, plan: Plan, op: str, setup: int) -> Plan:
    """The plan with one operation taken up at another moment, all else where it is."""
    ops = {one.id: one for one in problem.ops}
    was = next(one for one in plan.placed if one.op == op)
    start = setup + was.start - was.setup
    end = start + ops[op].minutes
    if ops[op].breakable and ops[op].minutes:
        end = end_of(hours_of(problem.windows, problem.start), start, ops[op].minutes)
    now = Placed(op, setup, start, end, end + ops[op].runs)
    rest = [now if one.op == op else one for one in plan.placed]
    return replace(plan, placed=tuple(sorted(rest, key=lambda one: one.setup)))


def is_sound(problem: Problem, plan: Plan, but_for: str = " is not a fault") -> bool:
    """True if the checker finds no broken rule; figures do not count, nor what it says in the words `but_for`."""
    return all(fault.startswith(FIGURES) or but_for in fault for fault in faults(problem, plan))


def without_links(problem: Problem, befores: tuple[str, ...], after: str) -> Problem:
    """Without these waits."""
    return replace(problem, links=tuple(x for x in problem.links if not (x.after == after and x.before in befores)))


def changed(problem: Problem, op: str, **what: object) -> Problem:
    """With one operation changed."""
    return replace(problem, ops=tuple(replace(one, **what) if one.id == op else one for one in problem.ops))


def with_clamps(problem: Problem, kinds: tuple[str, ...]) -> Problem:
    """With as many clamps of these kinds as anybody could want."""
    return replace(problem, clamps={**problem.clamps, **dict.fromkeys(kinds, 999)})


def open_later(problem: Problem, closes: int) -> Problem:
    """Without this closing time."""
    hours = hours_of(problem.windows, problem.start)
    pairs = list(zip(hours.opens, hours.closes, strict=True))
    opens = next((start for start, _ in pairs if start > closes), closes + 10_000)
    return replace(problem, windows=(*problem.windows, Window(closes, opens)))
