"""An order in which all steps can be worked, or the circle that prevents one.

A topological sort. Of the steps that are free, the same operation on the other pieces comes first, so that one setup
serves all of them.
"""

from collections.abc import Mapping
from heapq import heapify, heappop, heappush

from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.steps import Step


def in_order(steps: Mapping[str, Step], findings: FindingList) -> list[Step]:
    """The steps in an order that can be worked. A circle gives a finding, and its steps are left out."""
    waits_for = {id: set(step.after) for id, step in steps.items()}
    followers: dict[str, list[str]] = {id: [] for id in steps}
    for id, earlier in waits_for.items():
        for one in earlier:
            followers[one].append(id)
    free = [(rank(step), id) for id, step in steps.items() if not waits_for[id]]
    heapify(free)
    ordered: list[Step] = []
    while free:
        _, done = heappop(free)
        ordered.append(steps[done])
        for id in followers[done]:
            waits_for[id].discard(done)
            if not waits_for[id]:
                heappush(free, (rank(steps[id]), id))
    if stuck := {id: earlier for id, earlier in waits_for.items() if earlier}:
        add_circle(stuck, steps, findings)
    return ordered


def rank(step: Step) -> tuple[int, int, str]:
    """Sort key of steps that are free: by row in the file, then place among its operation's, then piece."""
    return step.row, step.nth, step.piece


def add_circle(stuck: Mapping[str, set[str]], steps: Mapping[str, Step], findings: FindingList) -> None:
    """Add a finding that names one circle of steps that wait for each other. stuck: by step, what it waits for."""
    path = [min(stuck)]
    while path.count(path[-1]) == 1:
        path.append(min(id for id in stuck[path[-1]] if id in stuck))
    circle = path[path.index(path[-1]) :]
    findings.error(
        "circle",
        ("operation", max(steps[id].row for id in circle)),
        f"Operations wait for each other: {' waits for '.join(id.rpartition('/')[2] for id in circle)}.",
        "Take out one `after`, or move an operation.",
    )
