"""Small changes to the priorities of choosing, each from what a plan looks like now; how often which, in one table."""

from collections.abc import Callable

from msgspec import Struct

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.precedence import closure
from benchbell.plan.search.parallel_generation import Priorities, Walk
from benchbell.plan.search.random import Random
from benchbell.plan.search.reversed import latest_by_mirror

SAVINGS = (0, 1, 2, 4, 8, 16, 30)
WAITS = (0, 0, 5, 15, 30, 60, 90)


class Scene(Struct):
    """What a move may look at. by: when each operation should be done; latest: the starts that follow from that."""

    shop: CompiledProblem
    reverse: CompiledProblem
    chance: Random
    by: list[int]
    latest: list[int]
    priorities: Priorities
    walk: Walk


def nudge(scene: Scene) -> Priorities:
    """One to three operations become more or less pressing."""
    chance, keys = scene.chance, scene.priorities.keys.copy()
    spread = chance.one_of((60, 240, 720))
    for _ in range(1 + chance.below(3)):
        keys[chance.below(len(keys))] += chance.around(spread)
    return with_keys(scene.priorities, keys)


def lift(scene: Scene) -> Priorities:
    """An operation that is late becomes more pressing, and all that it waits for."""
    chance, keys = scene.chance, scene.priorities.keys.copy()
    late = [i for i, start in enumerate(scene.walk.start) if start > scene.latest[i]]
    i = chance.one_of(late) if late else chance.below(len(keys))
    more = 1 + chance.below(chance.one_of((60, 240, 720)))
    befores = [[before for before, _ in pairs] for pairs in scene.shop.befores]
    for n in closure([i], befores):
        keys[n] += more
    return with_keys(scene.priorities, keys)


def swap(scene: Scene) -> Priorities:
    """Two that follow each other change places."""
    order, keys = scene.walk.order, scene.priorities.keys.copy()
    if len(order) > 1:
        at = scene.chance.below(len(order) - 1)
        a, b = order[at], order[at + 1]
        keys[a], keys[b] = min(keys[a], keys[b]) - 1, max(keys[a], keys[b]) + 1
    return with_keys(scene.priorities, keys)


def shake(scene: Scene) -> Priorities:
    """A stretch of the plan is thrown together anew."""
    chance, order, keys = scene.chance, scene.walk.order, scene.priorities.keys.copy()
    length = min(len(order), 4 + chance.below(11))
    at = chance.below(len(order) - length + 1)
    spread = chance.one_of((60, 240, 480))
    for i in order[at : at + length]:
        keys[i] += chance.around(spread)
    return with_keys(scene.priorities, keys)


def shift(scene: Scene) -> Priorities:
    """A whole piece becomes more or less pressing."""
    chance, keys, piece = scene.chance, scene.priorities.keys.copy(), scene.shop.piece
    which = piece[chance.below(len(keys))]
    more = chance.around(600)
    return with_keys(scene.priorities, [key + more if p == which else key for key, p in zip(keys, piece, strict=True)])


def reflect(scene: Scene) -> Priorities:
    """Keys from the reverse, which takes up first what ends last here."""
    priorities = Priorities(scene.walk.end, scene.priorities.saving, scene.chance.one_of(WAITS))
    latest = latest_by_mirror(scene.shop, scene.reverse, scene.by, priorities)
    return with_keys(scene.priorities, [-start for start in latest or scene.latest])


def anew(scene: Scene) -> Priorities:
    """Keys from latest starts, blurred."""
    chance = scene.chance
    spread = chance.one_of((30, 120, 360))
    return with_keys(scene.priorities, [chance.around(spread) - start for start in scene.latest])


def manner(scene: Scene) -> Priorities:
    """Another worth of setting up, another patience."""
    chance = scene.chance
    return Priorities(scene.priorities.keys, chance.one_of(SAVINGS), chance.one_of(WAITS))


def gather(scene: Scene) -> Priorities:
    """An operation moves next to another one with the same setup."""
    chance, shop, keys = scene.chance, scene.shop, scene.priorities.keys.copy()
    i = chance.below(len(keys))
    alike = [
        n
        for n, setup in enumerate(shop.setup)
        if setup >= 0 and setup == shop.setup[i] and shop.station[n] == shop.station[i] and n != i
    ]
    if alike:
        keys[i] = keys[chance.one_of(alike)] + chance.around(5)
    return with_keys(scene.priorities, keys)


def with_keys(priorities: Priorities, keys: list[int]) -> Priorities:
    """The same manner with other keys."""
    return Priorities(keys, priorities.saving, priorities.wait)


Move = Callable[[Scene], Priorities]

TO_FINISH: tuple[tuple[int, Move], ...] = (
    (30, nudge), (15, lift), (15, swap), (14, shake), (7, shift), (5, reflect), (4, anew), (10, manner),
)  # fmt: skip
"""Percent of tries while a sooner finish is looked for; measured on generated shops."""

TO_POLISH: tuple[tuple[int, Move], ...] = ((30, gather), (25, nudge), (25, swap), (10, shake), (10, manner))
"""Percent of tries while the finish is kept and fewer setups are looked for."""


def drawn(table: tuple[tuple[int, Move], ...]) -> list[Move]:
    """A hundred moves, each as often as the table says."""
    return [move for percent, move in table for _ in range(percent)]
