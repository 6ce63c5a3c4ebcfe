"""The exact solver: constraint programming with OR-Tools CP-SAT, where it is installed.

Hands and closed time never overlap, setups follow a circuit, clamps are a cumulative resource. It starts from a plan
and takes seconds, so it never stands in the way of the first plan.
"""

from msgspec.structs import replace

from benchbell.findings import Refused
from benchbell.plan.crew.crew_generation import crew_of, crew_with_limits
from benchbell.plan.exact.constraints import CHANGES_PER_MINUTE, ConstraintModel
from benchbell.plan.model.begun import without_begun
from benchbell.plan.model.check import faults
from benchbell.plan.model.hands import as_alike, differ, with_hands
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.model.schedule import objective, order_of, plan_of


def polish(problem: Problem, plan: Plan, seconds: float, workers: int) -> tuple[Plan, int]:
    """The plan, or a better one found in at most so many seconds; and a lower bound on the finish, in minutes.

    The bound leaves faults of craft out, as the solver does: a plan that avoids them may have to finish later. workers:
    threads. Hands that differ are solved as if they did not, which gives a bound for them too; the order that comes out
    is timed for them. Raises Refused where OR-Tools is not installed.
    """
    if problem.crew:
        alike, bound = polish(as_alike(problem), without_names(plan), seconds, workers)
        timed = for_crew(problem, alike, bound)
        is_worse = timed is None or timed.objective >= plan.objective or faults(problem, timed)
        return plan if timed is None or is_worse else timed, bound
    try:
        from ortools.sat.python import cp_model  # imported only here, since it takes much time and memory
    except ImportError as missing:
        raise Refused(
            "Thinking longer about a plan needs OR-Tools, which is not installed.",
            "Run pip install 'benchbell[optimal]'.",
        ) from missing
    apart = without_begun(problem)
    compiled = apart.compiled
    if not compiled.ids:
        return plan, plan.bound
    constraints = ConstraintModel(cp_model.CpModel(), problem, apart, plan)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    status = solver.solve(constraints.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return plan, plan.bound
    bound = plan.bound
    if not (compiled.max_lags or compiled.by or compiled.pieces):
        bound = max(bound, round(solver.best_objective_bound) // CHANGES_PER_MINUTE)
    schedule = constraints.schedule(solver)
    found = plan_of(compiled, schedule, bound)
    # The solver lets work of no length overlap other work; the rules do not, so the checker has the last word.
    better = objective(compiled, schedule) < plan.objective
    return found if better and not faults(problem, found) else plan, bound


def without_names(plan: Plan) -> Plan:
    """The plan, saying nothing of whose each operation is."""
    return replace(plan, placed=tuple(replace(one, hand=None) for one in plan.placed))


def for_crew(problem: Problem, plan: Plan, bound: int) -> Plan | None:
    """A plan for hands that do not differ, as it is for the problem's; None where these cannot keep its order."""
    if not differ(problem):
        return with_hands(problem, plan)
    crew = crew_of(problem)
    schedule = crew_with_limits(crew, order_of(crew.compiled, plan))
    return plan_of(crew.compiled, schedule, bound) if schedule else None
