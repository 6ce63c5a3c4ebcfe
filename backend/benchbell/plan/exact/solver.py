"""Think longer about a plan, with an exact solver: OR-Tools CP-SAT, when it is installed.

The rules of `plan/model/problem.py` as constraints: hands and closed hours never overlap, stations' setups follow
along a circuit, clamps are a cumulative. Never in the way of a first plan: it begins from one, and takes seconds.
"""

from benchbell.findings import Refused
from benchbell.plan.crew.timing import crew_of
from benchbell.plan.exact.constraints import TIDY, Rules
from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.search.serial_generation import plan_of, worth


def polish(problem: Problem, plan: Plan, seconds: float, workers: int) -> tuple[Plan, int]:
    """The plan or a better one, and a finish that no plan can beat; after at most so many seconds.

    Raises Refused without OR-Tools.
    """
    try:
        from ortools.sat.python import cp_model  # only now, for it takes long and much memory
    except ImportError as missing:
        raise Refused(
            "Thinking longer about a plan needs OR-Tools, which is not installed.",
            "Run pip install 'benchbell[optimal]'.",
        ) from missing
    crew = crew_of(problem)
    shop = crew.shop
    if not shop.ids:
        return plan, plan.bound
    rules = Rules(cp_model.CpModel(), problem, crew, plan)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    status = solver.solve(rules.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return plan, plan.bound
    bound = plan.bound
    if not (shop.limits or shop.by or shop.pieces):
        bound = max(bound, round(solver.best_objective_bound) // TIDY)
    seen = rules.walk(solver)
    found = plan_of(shop, seen, bound)
    # To the solver, work that takes no time fits into the midst of other work; by the rules it does not.
    better = worth(shop, seen)[1:] < (plan.overrun, plan.late, plan.finish, plan.changes)
    return found if better and not faults(problem, found) else plan, bound
