"""The hours of a planning problem: when hands work, and where they differ, whose these are. Minute 0 is now."""

from collections.abc import Callable, Iterable, Sequence
from math import ceil

from msgspec import Struct

from benchbell.durations import MINUTE_MS
from benchbell.plan.model.hands import without
from benchbell.plan.model.hours import hours_of
from benchbell.plan.model.problem import Hand, Window

Calendar = Callable[[int], Iterable[tuple[int, int]]]
"""Gives working hours from now on, as stretches [start, end) in ms, until they hold so many open minutes."""


class Worker(Struct, frozen=True):
    """Somebody who works here. unable: stations that they may not use. hours: when they are there."""

    name: str
    unable: tuple[str, ...]
    hours: Calendar


def windows_of(calendar: Calendar, minutes: int, now: int) -> tuple[Window, ...]:
    """Working hours that hold so many open minutes. now: server time in ms."""
    windows = (window_of(start, end, now) for start, end in calendar(minutes))
    return tuple(window for window in windows if window.end > window.start)


def window_of(start: int, end: int, now: int) -> Window:
    """A stretch of hours in ms as a window in whole minutes from now; what is past is cut away."""
    return Window(max(0, ceil((start - now) / MINUTE_MS)), (end - now) // MINUTE_MS)


def crew_hours(workers: Sequence[Worker], minutes: int, now: int) -> tuple[tuple[Window, ...], tuple[Hand, ...]]:
    """When anybody is there, and the workers as hands. Each is there for so many minutes. now: server time in ms."""
    own = [windows_of(worker.hours, minutes, now) for worker in workers]
    together = hours_of((window for windows in own for window in windows), 0)
    windows = tuple(map(Window, together.opens, together.closes))
    hands = (
        Hand(worker.name, worker.unable, tuple(without(windows, there)))
        for worker, there in zip(workers, own, strict=True)
    )
    return windows, tuple(hands)
