"""Suggestions for the recipe from a build's log: operations that took much longer or shorter than planned."""

from collections import defaultdict
from statistics import median

from msgspec import Struct

from benchbell.buildlog.story import BuildLog, OperationLog

WORTH_SAYING = 0.2
"""A suggestion is made when the actual time differs by more than this share of the planned time."""


class Learned(Struct, frozen=True):
    """A suggestion for one operation of the recipe, in attended minutes: medians over `times` recordings."""

    operation: str
    title: str
    planned_minutes: float
    real_minutes: float
    times: int


def learned(log: BuildLog) -> tuple[Learned, ...]:
    """The suggestions, one for each operation whose actual time differs enough. Times not recorded do not count."""
    by_name: dict[str, list[OperationLog]] = defaultdict(list)
    for op in log.operations:
        if op.hands_minutes is not None:
            by_name[op.id.rpartition("/")[2]].append(op)
    found = [lesson(name, ops) for name, ops in by_name.items()]
    return tuple(
        one for one in found if abs(one.real_minutes - one.planned_minutes) > WORTH_SAYING * one.planned_minutes
    )


def lesson(name: str, operations: list[OperationLog]) -> Learned:
    """The medians of one operation over all pieces."""
    real = median(op.hands_minutes for op in operations if op.hands_minutes is not None)
    planned = median(op.planned_minutes for op in operations)
    return Learned(name, operations[0].title, planned, real, len(operations))
