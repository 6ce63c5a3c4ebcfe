"""The checker's own reading of working hours."""

from collections.abc import Iterable, Sequence

from benchbell.plan.model.problem import NIGHT, Problem, Window


def stretches(problem: Problem, hand: int | None = None) -> list[Window]:
    """The windows in order, without what a hand is away; windows that touch or overlap are joined."""
    joined: list[Window] = []
    away = problem.crew[hand].away if hand is not None and 0 <= hand < len(problem.crew) else ()
    for window in sorted(present(problem.windows, away), key=lambda w: w.start):
        if joined and window.start <= joined[-1].end:
            joined[-1] = Window(joined[-1].start, max(joined[-1].end, window.end))
        else:
            joined.append(window)
    return joined


def shop_hours(problem: Problem) -> list[Window]:
    """When anybody may be in the shop: with a single pair of hands, when that is there."""
    return stretches(problem, 0 if len(problem.crew) == 1 else None)


def present(windows: Iterable[Window], away: Sequence[Window]) -> list[Window]:
    """What is left of the windows."""
    left = list(windows)
    for gone in away:
        ends = [
            end
            for w in left
            for end in (
                Window(w.start, min(w.end, max(w.start, gone.start))),
                Window(max(w.start, min(w.end, gone.end)), w.end),
            )
        ]
        left = [w for w in ends if w.start < w.end] if gone.start < gone.end else left
    return left


def day_of(problem: Problem, finish: int) -> int:
    """How many nights lie between the first window that is left and the finish."""
    hours = [w for w in shop_hours(problem) if w.end > problem.start]
    return sum(hours[n].start < finish and hours[n].start - hours[n - 1].end >= NIGHT for n in range(1, len(hours)))


def minutes_in(hours: list[Window], start: int, end: int) -> int:
    """How many minutes from `start` to `end` are in these hours."""
    return sum(max(0, min(end, w.end) - max(start, w.start)) for w in hours)
