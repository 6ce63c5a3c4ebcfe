"""What it costs to make a plan and tell it, all but the search: from open builds to reasons and presentation.

plan_report_s: CPU seconds for about 3,000 operations of shipped recipes, the forecasts left out, which have figures of
their own; plan_report_crew_s: for two pairs of hands. plan_report_ratio: the first over a reference in the same run,
timing the plan's order by the serial scheme ten times, so that it can be compared between machines.
"""

from collections.abc import Callable, Iterator
from statistics import median
from time import process_time

from benchbell.plan.advise import advise
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.schedule import order_of
from benchbell.plan.odds.pace import UNTIMED
from benchbell.plan.planner import plans_for
from benchbell.plan.report.forecast import forecasts
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random
from benchbell.plan.search.serial_generation import generate_serial
from benchbell.plan.tasks.from_builds import problem_from_builds
from msgspec.structs import replace
from plan.shop_day import MONDAY, request_for, shipped_builds

TIMES = 10
CLAMPS = {"parallel jaw": 8, "heavy F": 12, "light F": 16}


def figures(everything: bool) -> Iterator[tuple[str, float]]:
    """Names and values."""
    told, reference = measured(1)
    yield "plan_report_s", told
    yield "plan_report_crew_s", measured(2)[0]
    yield "plan_report_ratio", told / reference


def measured(hands: int) -> tuple[float, float]:
    """CPU seconds to tell a first plan, and to time its order again ten times."""
    builds = [
        replace(build, id=f"{n}. {build.id}")
        for n in range(TIMES)
        for build in shipped_builds("hall-bench", "bedside-table", pieces=2)
    ]
    request = request_for(*builds, clamps=CLAMPS, hands=hands)
    source = problem_from_builds(builds, request.hours, CLAMPS, MONDAY, hands)
    plan = next(plans_for(source.problem, tries(1), Random(1)))
    compiled = compile_problem(source.problem)
    order = order_of(compiled, plan)
    told = typical(lambda: advise(request, lambda _: [plan]))
    told -= typical(lambda: forecasts(source, plan, builds, lambda minute: minute, UNTIMED))
    return told, typical(lambda: [generate_serial(compiled, order) for _ in range(10)])


def typical(work: Callable[[], object]) -> float:
    """CPU seconds of this process for some work, the middle one of three times."""
    taken = []
    for _ in range(3):
        start = process_time()
        work()
        taken.append(process_time() - start)
    return median(taken)
