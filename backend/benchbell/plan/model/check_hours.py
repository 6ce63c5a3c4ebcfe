"""The checker's own reading of working hours."""

from benchbell.plan.model.problem import NIGHT, Problem, Window


def stretches(problem: Problem) -> list[Window]:
    """The windows in order; windows that touch or overlap are joined."""
    joined: list[Window] = []
    for window in sorted(problem.windows, key=lambda w: w.start):
        if joined and window.start <= joined[-1].end:
            joined[-1] = Window(joined[-1].start, max(joined[-1].end, window.end))
        else:
            joined.append(window)
    return joined


def day_of(problem: Problem, finish: int) -> int:
    """How many nights lie between the first window that is left and the finish."""
    hours = [w for w in stretches(problem) if w.end > problem.start]
    return sum(hours[n].start < finish and hours[n].start - hours[n - 1].end >= NIGHT for n in range(1, len(hours)))


def minutes_in(hours: list[Window], start: int, end: int) -> int:
    """How many minutes from `start` to `end` are in these hours."""
    return sum(max(0, min(end, w.end) - max(start, w.start)) for w in hours)
