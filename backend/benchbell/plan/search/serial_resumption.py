"""Serial generation of a slightly different order: only what may differ from the one before is generated again.

Nothing differs before the first changed place, nor after the last one, once both are in the same state again.
"""

from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR
from benchbell.plan.model.schedule import Schedule
from benchbell.plan.search.serial_generation import Between, SerialGeneration

STEP = 4
"""Places from one state that is kept to the next; it costs as much to keep one as to place half an operation."""


class SerialGenerated(Struct, frozen=True):
    """A schedule, and what is needed to generate that of another order from part of it.

    delays: operation to its earliest start in minutes, as given. between: the states before places 0, STEP, 2 STEP …
    """

    schedule: Schedule
    delays: Mapping[int, int]
    between: list[Between]


def generate_resumed(
    compiled: CompiledProblem, order: Sequence[int], delays: Mapping[int, int], like: SerialGenerated | None = None
) -> SerialGenerated | None:
    """What `generate_serial` gives, made from another generation for the same problem, if there is one.

    It is that one itself where nothing differs; None where the order is not allowed.
    """
    first, last = places_that_differ(like, order, delays) if like else (0, len(order))
    if like and first > last:
        return like
    mark = first // STEP
    between = like.between[:mark] if like else []
    generation = SerialGeneration(compiled, len(order), delays)
    if like:
        generation.go_on_from(like.between[mark], like.schedule, order[mark * STEP :])
    for n in range(mark * STEP, len(order)):
        if n % STEP == 0:
            now = generation.between()
            if like and n > last:
                was = like.between[n // STEP]
                if is_same(generation, now, was, like.schedule, order[mark * STEP : n]):
                    generation.end_as(like.schedule, was, order[n:])
                    rest = with_changes(like.between[n // STEP :], now.changes - was.changes)
                    return SerialGenerated(generation.schedule(order), delays, between + rest)
            between.append(now)
        if not generation.place(order[n]):
            return None
    return SerialGenerated(generation.schedule(order), delays, between)


def places_that_differ(like: SerialGenerated, order: Sequence[int], delays: Mapping[int, int]) -> tuple[int, int]:
    """The first and the last place at which order or delays differ; the number of places and -1 where none does."""
    count, old = len(order), like.schedule.order
    first = next((n for n in range(count) if order[n] != old[n]), count)
    last = next((n for n in range(count - 1, first - 1, -1) if order[n] != old[n]), -1)
    for i in delays.keys() | like.delays.keys():
        if delays.get(i) != like.delays.get(i):
            places = order.index(i), old.index(i)
            first, last = min(first, *places), max(last, *places)
    return first, last


def is_same(generation: SerialGeneration, now: Between, was: Between, like: Schedule, done: Sequence[int]) -> bool:
    """True if what is not placed yet comes as in the other generation.

    now, was: the states of both. done: all that is placed and may have been placed otherwise there.
    """
    if now.now != was.now or now.standing != was.standing:
        return False
    if any(max(pair) > now.now for pair in zip(now.busy, was.busy, strict=True) if pair[0] != pair[1]):
        return False
    end = generation.end
    for i in done:
        if end[i] != like.end[i]:
            least = now.now - max(end[i], like.end[i])
            if any(lag > least and end[j] == FAR for j, lag in generation.compiled.successors[i]):
                return False
    return True


def with_changes(rest: list[Between], more: int) -> list[Between]:
    """States that follow each other, with so many more setup changes before each."""
    return [replace(one, changes=one.changes + more) for one in rest] if more else rest
