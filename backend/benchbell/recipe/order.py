"""An order in which all steps can be worked, or the circle that stands in its way.

Of what could come next, the same operation on the other pieces comes first, so that a setup serves all of them
before it is changed.
"""

from collections.abc import Mapping
from heapq import heapify, heappop, heappush

from benchbell.recipe.notes import Notes
from benchbell.recipe.steps import Step


def in_order(steps: Mapping[str, Step], notes: Notes) -> list[Step]:
    """The steps in an order that can be worked. A circle is named, and its steps are left out."""
    before = {id: set(step.after) for id, step in steps.items()}
    then: dict[str, list[str]] = {id: [] for id in steps}
    for id, earlier in before.items():
        for one in earlier:
            then[one].append(id)
    free = [(rank(step), id) for id, step in steps.items() if not before[id]]
    heapify(free)
    ordered: list[Step] = []
    while free:
        _, done = heappop(free)
        ordered.append(steps[done])
        for id in then[done]:
            before[id].discard(done)
            if not before[id]:
                heappush(free, (rank(steps[id]), id))
    if stuck := {id: earlier for id, earlier in before.items() if earlier}:
        name_circle(stuck, steps, notes)
    return ordered


def rank(step: Step) -> tuple[int, int, str]:
    """What comes first of several that could: as in the file, coat by coat, piece by piece."""
    return step.row, step.coat, step.piece


def name_circle(stuck: Mapping[str, set[str]], steps: Mapping[str, Step], notes: Notes) -> None:
    """A finding that walks one circle: each waits for the next."""
    way = [min(stuck)]
    while way.count(way[-1]) == 1:
        way.append(min(id for id in stuck[way[-1]] if id in stuck))
    circle = way[way.index(way[-1]) :]
    notes.error(
        "circle",
        ("operation", max(steps[id].row for id in circle)),
        f"These wait for each other: {' waits for '.join(id.rpartition('/')[2] for id in circle)}.",
        "Take out one `after`, or move an operation.",
    )
