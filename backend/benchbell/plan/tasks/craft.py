"""What a craftsman heeds besides times and places: dust beside wet coats, and work that must not be hurried."""

from collections.abc import Mapping, Sequence
from math import ceil

from benchbell.bench.standing import WORKED
from benchbell.durations import MINUTE_MS
from benchbell.plan.tasks.task import OpenBuild, Task
from benchbell.recipe.sheet import Operation
from benchbell.trade.finish import finish_named, wet_minutes
from benchbell.trade.stations import station_named

LEFT_ON = 120
"""Open minutes for which clamps may stay on after their time before that is a fault. Common practice, no source."""

FITTED = 60
"""Open minutes after a dry fit within which its glue-up begins, while the parts lie as they go on. Common practice, no
source."""

HURRIED = ("open", "pot", "wipe-off")
"""Clocks that run out while hands are at it: nobody begins such work just before closing time."""


def throws_dust(task: Task) -> bool:
    """Whether the task's dust may fall on a wet coat."""
    return task.act == "work" and bool(task.operation.station) and station_named(task.operation.station).throws_dust


def wet_for(task: Task) -> int:
    """Minutes after it in which dust spoils what was done; 0 for all but a coat."""
    is_coat = task.act == "work" and task.operation.step == "coat" and task.operation.finish
    return wet_minutes(finish_named(task.operation.finish)) if is_coat else 0


def is_fiddly(task: Task) -> bool:
    """Whether it is work that must not be hurried: a glue-up, and what a clock drives."""
    op = task.operation
    return task.act == "work" and (op.step == "glue-up" or any(clock.kind in HURRIED for clock in op.clocks))


def fits_for(dry: Operation, op: Operation) -> bool:
    """Whether it is the dry fit of a glue-up: of all the parts that are glued, and maybe of others."""
    return dry.step == "dry-fit" and op.step == "glue-up" and set(op.parts) <= set(dry.parts)


def wet_until(builds: Sequence[OpenBuild], now: int) -> int:
    """Until when a coat that is on already is wet, in minutes from now; 0 where none is."""
    on = [
        (op, ms)
        for build in builds
        for op in build.sheet.operations
        if op.step == "coat" and op.finish and (ms := build.bench.operations[op.id].marks.get("coat-on")) is not None
    ]
    return max((ceil((ms - now) / MINUTE_MS) + wet_minutes(finish_named(op.finish)) for op, ms in on), default=0)


def last_station(builds: Sequence[OpenBuild]) -> str:
    """The station where hands were last; "" where nothing was done at any."""
    done = [
        (max(times), op.station)
        for build in builds
        for op in build.sheet.operations
        if op.station and (times := marked(op, build))
    ]
    return max(done, default=(0, ""))[1]


def marked(op: Operation, build: OpenBuild) -> Sequence[int]:
    """When hands are known to have been at an operation, server time in ms."""
    marks: Mapping[str, int] = build.bench.operations[op.id].marks
    return [marks[kind] for kind in WORKED if kind in marks]
