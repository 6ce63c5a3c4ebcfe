"""The checker of project schedules: judges by the words of the problem alone, and shares no code with the search."""

from collections.abc import Iterator

from benchbell.plan.crew.project import Project, ProjectSchedule


def faults(project: Project, schedule: ProjectSchedule) -> list[str]:
    """What is wrong with a schedule, a sentence each; an empty list for a sound one."""
    if not len(project.activities) == len(schedule.start) == len(schedule.end):
        counts = f"{len(schedule.start)} starts and {len(schedule.end)} ends"
        return [f"{len(project.activities)} activities, but {counts}."]
    return [*of_activities(project, schedule), *of_resources(project, schedule), *of_figures(schedule)]


def of_activities(project: Project, schedule: ProjectSchedule) -> Iterator[str]:
    """Start, length and precedence of each activity."""
    rows = zip(project.activities, schedule.start, schedule.end, strict=True)
    for number, (activity, start, end) in enumerate(rows):
        if start < 0:
            yield f"Activity {number} begins at {start}, before 0."
        if end - start != activity.minutes:
            yield f"Activity {number} lasts {end - start}, not {activity.minutes}."
        for before in activity.after:
            if schedule.end[before] > start:
                yield f"Activity {number} begins at {start}, before {before} ends at {schedule.end[before]}."


def of_resources(project: Project, schedule: ProjectSchedule) -> Iterator[str]:
    """No resource is used beyond its capacity; usage only rises when an activity starts."""
    rows = list(zip(project.activities, schedule.start, schedule.end, strict=True))
    for at in sorted(set(schedule.start)):
        running = [activity for activity, start, end in rows if start <= at < end]
        for resource, capacity in enumerate(project.capacities):
            used = sum(activity.needs[resource] for activity in running)
            if used > capacity:
                yield f"At {at} resource {resource} is used {used} of {capacity}."


def of_figures(schedule: ProjectSchedule) -> Iterator[str]:
    """The finish is the last end, and not before the bound."""
    last = max(schedule.end, default=0)
    if schedule.finish != last:
        yield f"The finish is given as {schedule.finish}, but the last activity ends at {last}."
    if schedule.bound > last:
        yield f"The bound {schedule.bound} is past the finish {last}."
