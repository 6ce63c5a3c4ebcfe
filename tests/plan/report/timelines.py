"""Timelines of problems, of a plan found with a counted number of tries."""

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.planner import plan_for
from benchbell.plan.report.timeline import timeline_of
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random


def timeline(problem, count=10):
    """Of the best plan after so many tries."""
    return timeline_of(problem, compile_problem(problem), plan_for(problem, tries(count), Random(1)))
