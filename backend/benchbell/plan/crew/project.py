"""The resource-constrained project scheduling problem (RCPSP): activities, precedence, renewable resources.

Knows nothing of a shop: resources are numbered, times are whole units from 0, and no activity is interrupted.
"""

from msgspec import Struct

from benchbell.findings import Refused


class Activity(Struct, frozen=True):
    """One activity. needs: units of each resource, by its number; after: the activities that must end before it."""

    minutes: int
    needs: tuple[int, ...]
    after: tuple[int, ...] = ()


class Project(Struct, frozen=True):
    """capacities: units of each resource at any time. An activity's number is its place in the tuple."""

    capacities: tuple[int, ...]
    activities: tuple[Activity, ...]


class ProjectSchedule(Struct, frozen=True):
    """Start and end of each activity, by number. finish: end of the last. bound: a lower bound on any finish."""

    start: tuple[int, ...]
    end: tuple[int, ...]
    finish: int
    bound: int


def topological(project: Project) -> list[int]:
    """Activity numbers, each after its predecessors.

    Raises Refused where activities wait for each other in a cycle, or one needs more than the capacity.
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
