"""Figures of planning for several hands, on PSPLIB's instances of 30 activities whose least finish is proved.

j30_dev_pass_percent: one serial pass by the LFT rule: how far the finish is above the optimum, mean over instances.
j30_dev_50ms_percent, j30_dev_250ms_percent, j30_dev_1s_percent: the same after so much search. schedules_per_s: such
passes in a second. Budgets are CPU time of this process, so that other work on the machine matters less. 60 of the 480
instances; all of them with --all.
"""

from collections.abc import Iterator
from statistics import mean
from time import process_time

from benchbell.plan.crew.packed_project import PackedProject, pack
from benchbell.plan.crew.project import Project
from benchbell.plan.crew.project_generation import priority_order, serial
from benchbell.plan.crew.project_search import search_project
from benchbell.plan.search.random import Random
from plan.psplib import instances

SECONDS = [4 * n + n % 4 for n in range(12)]
FEW = [10 * ten + 3 * ten % 10 for ten in range(48)] + [10 * ten + (3 * ten + 5) % 10 for ten in SECONDS]
"""Instances stand in 48 tens, four kinds of scarcity by turns: one of each ten, and a second of three of each kind."""

BUDGETS = {"50ms": 0.05, "250ms": 0.25, "1s": 1.0}
SEED = 1
PASSES = 50


def figures(everything: bool) -> Iterator[tuple[str, float]]:
    """Each figure by its name."""
    cases = list(instances(1).values())
    if not everything:
        cases = [cases[n] for n in FEW]
    ready = [pack(project) for project, _ in cases]
    leasts = [least for _, least in cases]
    yield "j30_dev_pass_percent", deviation([one_pass(project) for project in ready], leasts)
    found = [within(project) for project, _ in cases]
    for n, name in enumerate(BUDGETS):
        yield f"j30_dev_{name}_percent", deviation([finishes[n] for finishes in found], leasts)
    begin = process_time()
    for project in ready:
        for _ in range(PASSES):
            one_pass(project)
    yield "schedules_per_s", PASSES * len(ready) / (process_time() - begin)


def one_pass(project: PackedProject) -> int:
    """The finish of one serial pass by the LFT rule: the longest tail first."""
    return max(serial(project, priority_order(project, [-tail for tail in project.tail]), project.predecessors))


def within(project: Project) -> list[int]:
    """The finish at the end of each budget, of one search."""
    begin = process_time()
    finishes: list[int] = []
    limits = list(BUDGETS.values())
    finish = 0
    for best in search_project(project, Random(SEED)):
        spent = process_time() - begin
        while len(finishes) < len(limits) and spent > limits[len(finishes)] and finish:
            finishes.append(finish)
        if len(finishes) == len(limits):
            return finishes
        finish = best.finish
    return finishes + [finish] * (len(limits) - len(finishes))


def deviation(finishes: list[int], leasts: list[int]) -> float:
    """Percent above the least, in the mean."""
    return mean(100 * (finish - least) / least for finish, least in zip(finishes, leasts, strict=True))
