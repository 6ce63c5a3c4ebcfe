"""Generated shops with more to heed: limits, promises, faults of craft."""

from benchbell.plan.model.problem import Craft
from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random
from msgspec.structs import replace
from plan.shop_data import with_craft


def promised_somewhat(problem):
    """The shop's work with limits and promises in all of it, some of which no plan keeps."""
    start = problem.start
    links = [replace(link, most=link.lag + 200) if n % 6 == 0 else link for n, link in enumerate(problem.links)]
    pieces = sorted({op.piece for op in problem.ops})
    due = {piece: start + 1500 * n for n, piece in enumerate(pieces) if n % 3 < 2}
    ops = [
        replace(op, due=due.get(op.piece), weight=1 + n % 2, by=start + 900 if n % 17 == 0 else None)
        for n, op in enumerate(problem.ops)
    ]
    return replace(problem, links=tuple(links), ops=tuple(ops))


def promised_as_first_planned(problem):
    """Each piece is due when a first plan has it done."""
    ends: dict[str, int] = {}
    piece = {op.id: op.piece for op in problem.ops}
    for one in plan_for(problem, tries(1), Random(1)).placed:
        ends[piece[one.op]] = max(one.free, ends.get(piece[one.op], 0))
    return replace(problem, ops=tuple(replace(op, due=ends[op.piece]) for op in problem.ops))


KINDS = {
    "as it is": lambda problem: problem,
    "with craft": with_craft,
    "with limits": promised_somewhat,
    "with promises": promised_as_first_planned,
    "with dear craft": lambda problem: replace(with_craft(problem), craft=Craft(dust=300, late_act=200, visit=40)),
    "with both": lambda problem: promised_somewhat(with_craft(problem)),
}
"""By name, what makes such a shop of one of `plan.shop_data`."""

SOME = ("shop01", "shop17")
"""Shops small enough to be asked for in all these ways."""
