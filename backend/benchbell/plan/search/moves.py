"""The moves of the local search: each changes the priorities a little; tables say how often each is tried."""

from bisect import bisect_right
from collections.abc import Callable

from msgspec import Struct

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.precedence import closure
from benchbell.plan.model.schedule import Schedule
from benchbell.plan.search.checkpoints import Generated
from benchbell.plan.search.parallel_generation import Priorities
from benchbell.plan.search.random import Random
from benchbell.plan.search.reversed import latest_by_backward_pass
from benchbell.plan.search.setup_runs import two_alike

SETUP_WEIGHTS = (0, 1, 2, 4, 8, 16, 30)
MOST_IDLE = (0, 0, 5, 15, 30, 60, 90)
CRAFT_WEIGHTS = (0, 1, 4, 4, 16)

MOST_BEHIND = 40
"""Operations after a closing time among which one is looked for that fits before it."""


class Incumbent(Struct):
    """The solution that moves start from: its priorities, its schedule, and the target that it is compared with.

    reverse: the reversed problem. due: by operation, when it should be done for the target; latest: the latest starts
    that follow from that. In minutes. generated: what the priorities make before any right shift, None if not kept.
    """

    compiled: CompiledProblem
    reverse: CompiledProblem
    random: Random
    due: list[int]
    latest: list[int]
    priorities: Priorities
    schedule: Schedule
    generated: Generated | None = None


def nudge(at: Incumbent) -> Priorities:
    """One to three random operations get a greater or smaller value."""
    random, values = at.random, at.priorities.values.copy()
    spread = random.one_of((60, 240, 720))
    for _ in range(1 + random.below(3)):
        values[random.below(len(values))] += random.around(spread)
    return with_values(at.priorities, values)


def lift(at: Incumbent) -> Priorities:
    """A random late operation and all its predecessors, direct and indirect, get a greater value."""
    random, values = at.random, at.priorities.values.copy()
    late = [i for i, start in enumerate(at.schedule.start) if start > at.latest[i]]
    i = random.one_of(late) if late else random.below(len(values))
    more = 1 + random.below(random.one_of((60, 240, 720)))
    predecessors = [[before for before, _ in pairs] for pairs in at.compiled.predecessors]
    for n in closure([i], predecessors):
        values[n] += more
    return with_values(at.priorities, values)


def swap(at: Incumbent) -> Priorities:
    """Two consecutive operations of the schedule exchange their order of value."""
    order, values = at.schedule.order, at.priorities.values.copy()
    if len(order) > 1:
        place = at.random.below(len(order) - 1)
        a, b = order[place], order[place + 1]
        values[a], values[b] = min(values[a], values[b]) - 1, max(values[a], values[b]) + 1
    return with_values(at.priorities, values)


def shake(at: Incumbent) -> Priorities:
    """The values of 4 to 14 consecutive operations are disturbed at random."""
    random, order, values = at.random, at.schedule.order, at.priorities.values.copy()
    length = min(len(order), 4 + random.below(11))
    first = random.below(len(order) - length + 1)
    spread = random.one_of((60, 240, 480))
    for i in order[first : first + length]:
        values[i] += random.around(spread)
    return with_values(at.priorities, values)


def shift(at: Incumbent) -> Priorities:
    """All operations of a random piece get the same greater or smaller value."""
    random, values, piece = at.random, at.priorities.values, at.compiled.piece
    chosen = piece[random.below(len(values))]
    more = random.around(600)
    return with_values(
        at.priorities, [value + more if p == chosen else value for value, p in zip(values, piece, strict=True)]
    )


def gather(at: Incumbent) -> Priorities:
    """A random operation gets nearly the value of another one with the same setup, so that they share the setup."""
    random, compiled, values = at.random, at.compiled, at.priorities.values.copy()
    i = random.below(len(values))
    alike = [
        n
        for n, setup in enumerate(compiled.setup)
        if setup >= 0 and setup == compiled.setup[i] and compiled.station[n] == compiled.station[i] and n != i
    ]
    if alike:
        values[i] = values[random.one_of(alike)] + random.around(5)
    return with_values(at.priorities, values)


def join(at: Incumbent) -> Priorities:
    """Two runs of one setup come together: the later one sooner, with all its predecessors, or the sooner one later.

    Where no setup has two, a nudge.
    """
    random, values = at.random, at.priorities.values.copy()
    pair = two_alike(at.compiled, at.schedule.order, random)
    if pair is None:
        return nudge(at)
    first, second = pair
    if random.below(2):
        value = values[first[-1]]
        predecessors = [[before for before, _ in pairs] for pairs in at.compiled.predecessors]
        for n in closure(second, predecessors):
            values[n] = max(values[n], value + 1)
    else:
        value = values[second[0]]
        for i in first:
            values[i] = min(values[i], value)
    return with_values(at.priorities, values)


def fill(at: Incumbent) -> Priorities:
    """Closing time: where hands are idle before it, a random operation gives way to a longer one that comes later.

    Where none fits, a nudge.
    """
    random, minutes, values = at.random, at.compiled.minutes, at.priorities.values.copy()
    order, start, end = at.schedule.order, at.schedule.start, at.schedule.end
    hours = at.compiled.hours
    place = random.below(len(order))
    short = order[place]
    close = hours.closes[bisect_right(hours.opens, start[short]) - 1]
    behind = place + 1
    while behind < len(order) and start[order[behind]] < close:
        behind += 1
    idle = close - end[order[behind - 1]]
    longer = [i for i in order[behind : behind + MOST_BEHIND] if 0 < minutes[i] - minutes[short] <= idle]
    if not longer:
        return nudge(at)
    i = random.one_of(longer)
    values[i], values[short] = max(values[i], values[short]) + 1, min(values[i], values[short])
    return with_values(at.priorities, values)


def backward(at: Incumbent) -> Priorities:
    """Values from a backward pass: latest starts of the reversed problem, which does first what ends last here."""
    priorities = Priorities(at.schedule.end, at.priorities.setup_weight, at.random.one_of(MOST_IDLE))
    latest = latest_by_backward_pass(at.compiled, at.reverse, at.due, priorities)
    return with_values(at.priorities, [-start for start in latest or at.latest])


def restart(at: Incumbent) -> Priorities:
    """Values from the latest starts for the target, disturbed at random; nothing of the incumbent's values is kept."""
    random = at.random
    spread = random.one_of((30, 120, 360))
    return with_values(at.priorities, [random.around(spread) - start for start in at.latest])


def reweight(at: Incumbent) -> Priorities:
    """The same values with another weight for setting up and another longest idle time."""
    random = at.random
    setup_weight, most_idle = random.one_of(SETUP_WEIGHTS), random.one_of(MOST_IDLE)
    return Priorities(at.priorities.values, setup_weight, most_idle, reweighted_craft(at))


def reweighted_craft(at: Incumbent) -> int:
    """Another weight of craft, where it counts."""
    return at.random.one_of(CRAFT_WEIGHTS) if at.compiled.craft else at.priorities.craft


def with_values(priorities: Priorities, values: list[int]) -> Priorities:
    """The priorities with other values."""
    return Priorities(values, priorities.setup_weight, priorities.most_idle, priorities.craft)


Move = Callable[[Incumbent], Priorities]

TO_FINISH: tuple[tuple[int, Move], ...] = (
    (27, nudge), (8, lift), (10, swap), (12, shake), (5, shift), (5, backward), (3, restart), (7, reweight), (8, fill),
    (15, join),
)  # fmt: skip
"""Percent of tries while an earlier finish is looked for; measured on generated shops."""

TO_SAVE_SETUPS: tuple[tuple[int, Move], ...] = ((50, join), (20, nudge), (12, swap), (10, shake), (8, reweight))
"""Percent of tries while fewer setup changes at the same finish are looked for."""


def repeated(table: tuple[tuple[int, Move], ...]) -> list[Move]:
    """A hundred moves to draw from, each as often as the table's percent say."""
    return [move for percent, move in table for _ in range(percent)]
