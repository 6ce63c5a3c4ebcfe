"""Activities that share what there is: how long each takes, how much it needs, and what it comes after.

The resource-constrained project scheduling problem, in a form that knows nothing of a shop: resources are renewable
and numbered, times are whole units from 0, and nothing is broken off once begun.
"""

from msgspec import Struct

from benchbell.findings import Refused


class Activity(Struct, frozen=True):
    """One activity. needs: how much of each resource, by its number; after: activities that end before it begins."""

    minutes: int
    needs: tuple[int, ...]
    after: tuple[int, ...] = ()


class Project(Struct, frozen=True):
    """capacities: how much of each resource there is at any time. An activity's number is its place in the list."""

    capacities: tuple[int, ...]
    activities: tuple[Activity, ...]


class Schedule(Struct, frozen=True):
    """When each activity begins and ends, by number; finish: the end of the last; bound: none can finish sooner."""

    start: tuple[int, ...]
    end: tuple[int, ...]
    finish: int
    bound: int


def topological(project: Project) -> list[int]:
    """Numbers in an order in which each comes after what it waits for; the smaller number first where both may.

    Raises Refused when activities wait for each other in a circle, or one needs more than there is.
    """
    activities = project.activities
    for number, activity in enumerate(activities):
        if any(need > cap for need, cap in zip(activity.needs, project.capacities, strict=True)):
            raise Refused(f"Activity {number} needs {activity.needs} of {project.capacities}.", "Provide more of it.")
    left = {number: set(activity.after) for number, activity in enumerate(activities)}
    order: list[int] = []
    while left:
        free = [number for number, after in left.items() if not after]
        if not free:
            raise Refused(f"Activities {sorted(left)} wait for each other.", "Take out one of their waits.")
        for number in free:
            del left[number]
        for after in left.values():
            after.difference_update(free)
        order += free
    return order
