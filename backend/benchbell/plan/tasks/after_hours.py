"""After hours: whoever has just recorded something is there, whatever the shop's hours are.

What a clock drives that asks for hands, glue that is open or squeeze-out that turns hard, has then a stretch of its own
from now on. All else waits until the shop opens: nobody is kept there for it.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import ceil

from msgspec import Struct
from msgspec.structs import replace

from benchbell.durations import MINUTE_MS
from benchbell.plan.model.problem import Op
from benchbell.plan.tasks.craft import HURRIED
from benchbell.plan.tasks.hours import Calendar, Worker, windows_of
from benchbell.plan.tasks.task import OpenBuild, Task, clock_spec, key_of

STAYS = 60
"""Minutes after the last mark for which its maker is taken to be there still: nothing is recorded while glue turns
rubbery. Common practice, no source."""

ROOM = 2
"""Times the minutes of what is in hand that the stretch has room for: a shop may be slower than its recipes."""


class AfterHours(Struct, frozen=True):
    """The stretch from now on, in minutes from now. until: its end. opens: when the shop does. keys: tasks done in it.

    stations: where these are done.
    """

    until: int
    opens: int
    keys: frozenset[str]
    stations: frozenset[str]


def after_hours(
    builds: Sequence[OpenBuild], tasks: Mapping[str, Task], opens: int, now: int, last: int | None
) -> AfterHours | None:
    """The stretch; None while the shop is open, nobody is there, or no clock asks for hands. tasks: by key.

    opens: minutes until the shop does, 0 while it is open. now, last: server time in ms, of the last mark.
    """
    if not opens or last is None or now - last > STAYS * MINUTE_MS:
        return None
    pressing = {key: until for build in builds for key, until in pressing_tasks(build, tasks, now)}
    if not pressing:
        return None
    until = max(pressing.values()) + sum(tasks[key].minutes for key in pressing)  # hands may be at another one first
    stations = (tasks[key].operation.station for key in pressing if tasks[key].act == "work")
    return AfterHours(min(until, opens), opens, frozenset(pressing), frozenset(stations))


def pressing_tasks(build: OpenBuild, tasks: Mapping[str, Task], now: int) -> Iterator[tuple[str, int]]:
    """What a clock asks hands for, each task with the minute from now at which that is over. tasks: by key."""
    for op in build.sheet.operations:
        clocks = {clock.kind: clock for clock in build.running if clock.operation == op.id}
        work, clean = key_of(build.id, op.id), key_of(build.id, op.id, "squeeze-out")
        rubbery, running = clock_spec(op, "squeeze-out"), clocks.get("squeeze-out")
        if work in tasks and tasks[work].begun and clocks.keys() & set(HURRIED):
            done = ROOM * tasks[work].minutes
            yield work, done
            if clean in tasks and rubbery and rubbery.most_ms is not None:
                yield clean, done + rubbery.most_ms // MINUTE_MS
        elif clean in tasks and running and running.most is not None and running.most >= now:
            yield clean, ceil((running.most - now) / MINUTE_MS)


def last_mark(builds: Iterable[OpenBuild]) -> int | None:
    """When something was last recorded of an operation, or a station was set up, server time in ms; None if never."""
    marks = (ms for build in builds for state in build.bench.operations.values() for ms in state.marks.values())
    stations = (setup.ms for build in builds for setup in build.bench.stations.values())
    return max((*marks, *stations), default=None)


def next_opening(calendar: Calendar, workers: Sequence[Worker], now: int) -> int:
    """Minutes until hours begin, anybody's where somebody is named; 0 while they last. now: server time in ms."""
    whose = [worker.hours for worker in workers] or [calendar]
    return min((window.start for hours in whose for window in windows_of(hours, 1, now)[:1]), default=0)


def only_pressing(tasks: Mapping[str, Task], stretch: AfterHours) -> dict[str, Task]:
    """The tasks, of which only those of the stretch count as begun: what else is in hand lies until the shop opens."""
    return {key: task if key in stretch.keys else replace(task, begun=False) for key, task in tasks.items()}


def waiting_for_hours(ops: Iterable[Op], stretch: AfterHours) -> Iterator[Op]:
    """The operations, of which all that are not the stretch's begin when the shop opens, or later."""
    for op in ops:
        yield op if op.id in stretch.keys else replace(op, ready=max(op.ready, stretch.opens))


def with_stretch(hours: Calendar, stretch: AfterHours, now: int) -> Calendar:
    """The hours of somebody who is there. now: server time in ms."""
    return lambda minutes: [(now, now + stretch.until * MINUTE_MS), *hours(minutes)]


def with_one_there(workers: Sequence[Worker], stretch: AfterHours, now: int) -> list[Worker]:
    """The workers, of whom the first who may do all of it is there. now: server time in ms."""
    there = next((n for n, one in enumerate(workers) if not stretch.stations & set(one.unable)), None)
    return [
        replace(one, hours=with_stretch(one.hours, stretch, now)) if n == there else one
        for n, one in enumerate(workers)
    ]
