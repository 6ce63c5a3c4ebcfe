"""How long hands were really at each operation, from its beginning to clamps on, or to its end.

The same operation of several pieces that is begun on one device and in hand at once is one stretch of work: its time is
shared in proportion to the planned minutes, so that it counts once. Other builds' share of it stands in `Began.beside`.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from msgspec import Struct

from benchbell.bench.book import Book
from benchbell.bench.happenings import Began
from benchbell.bench.state import Bench
from benchbell.durations import MINUTE_MS
from benchbell.recipe.sheet import Operation, Sheet

LEAST_SHARE = 0.1
"""Planned minutes that an operation without any counts for, where time is shared."""


class Stretch(Struct, frozen=True):
    """An operation in hand from one moment to another, ms. who: the device it was begun on. beside: as in `Began`."""

    operation: Operation
    start: int
    end: int
    who: str
    beside: float


class Share(Struct, frozen=True):
    """Part of a stretch [start, end), ms, of which so much was for its operation: part, above 0 and up to 1."""

    start: int
    end: int
    part: float


def hands_minutes(sheet: Sheet, bench: Bench, book: Book) -> dict[str, float]:
    """Minutes by operation; those whose beginning or end was not recorded are left out."""
    together: dict[tuple[str, str, str], list[Stretch]] = {}
    for one in stretches_of(sheet, bench, book):
        together.setdefault((one.operation.name, one.operation.station, one.who), []).append(one)
    return {
        one.operation.id: sum((share.end - share.start) * share.part for share in shares) / MINUTE_MS
        for group in together.values()
        for one, shares in shared(group)
    }


def stretches_of(sheet: Sheet, bench: Bench, book: Book) -> list[Stretch]:
    """When each operation was in hand, in the sheet's order; without those of which that was not recorded."""
    return [one for op in sheet.operations for one in stretch_of(op, bench.operations[op.id].marks, book)]


def stretch_of(op: Operation, marks: Mapping[str, int], book: Book) -> Iterable[Stretch]:
    """When it was in hand; nothing where that was not recorded."""
    start, clamped, finished = marks.get("began"), marks.get("clamped"), marks.get("finished")
    end = finished if clamped is None or clamped == start else clamped
    began = book.latest("began", op.id)
    if start is None or end is None or began is None or not isinstance(began.what, Began):
        return
    yield Stretch(op, start, end, began.at.device, max(0, began.what.beside))


def shared(group: Sequence[Stretch]) -> Iterable[tuple[Stretch, list[Share]]]:
    """Each with its shares of the time in which several of them were in hand, the earliest first."""
    if len(group) == 1 and not group[0].beside:
        yield group[0], [Share(group[0].start, group[0].end, 1)]
        return
    moments = sorted({moment for one in group for moment in (one.start, one.end)})
    for one in group:
        spans = [(start, end) for start, end in pairwise(moments) if one.start <= start and end <= one.end]
        yield one, [Share(start, end, part_of(one, group, start, end)) for start, end in spans]


def part_of(one: Stretch, group: Sequence[Stretch], start: int, end: int) -> float:
    """What part of a span, ms, in which it is in hand was for it."""
    others = [other for other in group if other.start <= start and end <= other.end]
    return weight(one) / (sum(map(weight, others)) + max(other.beside for other in others))


def weight(one: Stretch) -> float:
    """By what its time is shared."""
    return max(one.operation.minutes, LEAST_SHARE)
