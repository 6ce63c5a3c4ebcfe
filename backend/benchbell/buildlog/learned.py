"""What a build teaches for the next: times as they really were beside the recipe's."""

from collections import defaultdict
from statistics import median

from msgspec import Struct

from benchbell.buildlog.story import BuildLog, OperationLog

WORTH_SAYING = 0.2
"""A suggestion is made when the real time is off by more than this share of the plan."""


class Learned(Struct, frozen=True):
    """A suggestion for one operation of the recipe, in attended minutes: the median over `times` recordings."""

    operation: str
    title: str
    planned_minutes: float
    real_minutes: float
    times: int


def learned(log: BuildLog) -> tuple[Learned, ...]:
    """By operation, where the plan was well off. What was not recorded teaches nothing."""
    by_name: dict[str, list[OperationLog]] = defaultdict(list)
    for op in log.operations:
        if op.hands_minutes is not None:
            by_name[op.id.rpartition("/")[2]].append(op)
    found = [lesson(name, ops) for name, ops in by_name.items()]
    return tuple(
        one for one in found if abs(one.real_minutes - one.planned_minutes) > WORTH_SAYING * one.planned_minutes
    )


def lesson(name: str, operations: list[OperationLog]) -> Learned:
    """What the recordings of one operation say."""
    real = median(op.hands_minutes for op in operations if op.hands_minutes is not None)
    planned = median(op.planned_minutes for op in operations)
    return Learned(name, operations[0].title, planned, real, len(operations))
