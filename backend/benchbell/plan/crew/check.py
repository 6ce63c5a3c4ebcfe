"""Judge a schedule by the words of the problem alone; shares no code with what makes schedules."""

from benchbell.plan.crew.project import Project, Schedule


def faults(project: Project, schedule: Schedule) -> list[str]:
    """What is wrong with a schedule, a sentence each; an empty list if it is right."""
    activities = project.activities
    if not len(activities) == len(schedule.start) == len(schedule.end):
        return [f"{len(activities)} activities, but {len(schedule.start)} starts and {len(schedule.end)} ends."]
    found = []
    for number, (activity, start, end) in enumerate(zip(activities, schedule.start, schedule.end, strict=True)):
        if start < 0:
            found.append(f"Activity {number} begins at {start}, before 0.")
        if end - start != activity.minutes:
            found.append(f"Activity {number} lasts {end - start}, not {activity.minutes}.")
        found += [
            f"Activity {number} begins at {start}, before {before} ends at {schedule.end[before]}."
            for before in activity.after
            if schedule.end[before] > start
        ]
    for at in sorted(set(schedule.start)):
        running = [
            activity
            for activity, start, end in zip(activities, schedule.start, schedule.end, strict=True)
            if start <= at < end
        ]
        for resource, capacity in enumerate(project.capacities):
            used = sum(activity.needs[resource] for activity in running)
            if used > capacity:
                found.append(f"At {at} resource {resource} is used {used} of {capacity}.")
    last = max(schedule.end, default=0)
    if schedule.finish != last:
        found.append(f"The finish is given as {schedule.finish}, but the last activity ends at {last}.")
    if schedule.bound > last:
        found.append(f"The bound {schedule.bound} is past the finish {last}.")
    return found
