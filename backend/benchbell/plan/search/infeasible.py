"""Which operations can never be planned, and why; found before planning, so that the rest can be planned."""

from collections.abc import Iterator

from msgspec.structs import replace

from benchbell.findings import counted
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.hands import able_hands, hours_of_hand
from benchbell.plan.model.hours import Hours, hours_of
from benchbell.plan.model.precedence import closure, min_lags_of, topological_order
from benchbell.plan.model.problem import FIXTURE, Op, Problem
from benchbell.plan.search.deadlock import deadlock_free_order
from benchbell.plan.search.initial import initial_schedule, latest_start_values

Reason = tuple[str, str, str]
"""An operation; a sentence for the maker: why it cannot be planned, and what to do; after what else left out it comes.

The last is "" for what cannot be planned by itself.
"""

NO_CLAMPS = "Its clamps never come free: others hold them for good. Get more, or glue up in parts."
NO_FIXTURE = "Its fixture never comes free: something stands in it for good. Take that out, or make another fixture."
NO_HOURS = "It does not fit into the working hours that are known. Give more hours, or plan less."


def feasible_part(problem: Problem) -> tuple[Problem, list[Reason]]:
    """The problem without the operations that cannot be planned; and these, each with its reason.

    Now and then an operation is left out that merely follows from one of these.
    """
    reasons: list[Reason] = []
    for check in (on_a_cycle, without_hands, too_large, never_placed):
        while found := list(check(problem)):
            found += following(problem, found)
            reasons += found
            problem = without(problem, {id for id, *_ in found})
    return problem, reasons


def without(problem: Problem, gone: set[str]) -> Problem:
    """The problem without some operations; clamps that these would have given back stay in use."""
    return replace(
        problem,
        ops=tuple(op for op in problem.ops if op.id not in gone),
        links=tuple(link for link in problem.links if not {link.before, link.after} & gone),
        holds=tuple(
            replace(hold, give="" if hold.give in gone else hold.give)
            for hold in problem.holds
            if hold.take not in gone
        ),
    )


def following(problem: Problem, found: list[Reason]) -> list[Reason]:
    """All successors, direct and indirect, of what was found; each names the first operation that it comes after."""
    number, after = {op.id: n for n, op in enumerate(problem.ops)}, successors_of(problem)
    blame: dict[int, str] = {}
    for id, *_ in found:
        blame |= {n: blame.get(n, id) for n in closure([number[id]], after)}
    left = sorted(blame.keys() - {number[id] for id, *_ in found})
    why = "It comes after {}, which cannot be planned. See to that first."
    return [(problem.ops[n].id, why.format(blame[n]), blame[n]) for n in left]


def successors_of(problem: Problem) -> list[list[int]]:
    """By operation, its direct successors."""
    found: list[list[int]] = [[] for _ in problem.ops]
    for before, after in min_lags_of(problem):
        found[before].append(after)
    return found


def on_a_cycle(problem: Problem) -> Iterator[Reason]:
    """The operations of one cycle in the precedence graph; none if there is no cycle."""
    left = set(range(len(problem.ops))) - set(topological_order(len(problem.ops), min_lags_of(problem)))
    after = successors_of(problem)
    for n in sorted(left):
        cycle = closure(after[n], after) & left
        if n in cycle:
            cycle = {m for m in cycle if n in closure(after[m], after)}
            names = [problem.ops[m].id for m in sorted(cycle)]
            for name in names:
                others = ", ".join(other for other in names if other != name) or "itself"
                yield name, f"It waits for {others}, and that waits for it. Take one of these links away.", ""
            return


def without_hands(problem: Problem) -> Iterator[Reason]:
    """Work at a station that nobody of the crew may use."""
    for op in problem.ops:
        if problem.crew and not able_hands(problem, op):
            yield op.id, nobody_may(op.station), ""


def nobody_may(station: str) -> str:
    """Why nothing can be done at the station, and what to do."""
    return f"Nobody here may use the {station}: say on the Shop screen who may, or have it done elsewhere."


def too_large(problem: Problem) -> Iterator[Reason]:
    """Work that is longer than every window, and what needs more clamps or fixtures than the shop has."""
    by_hand = [longest_stretch(hours_of_hand(problem, hand)) for hand in problem.crew]
    everyone = longest_stretch(hours_of(problem.windows, problem.start))
    taken: dict[str, dict[str, int]] = {}
    for hold in problem.holds:
        counts = taken.setdefault(hold.take, {})
        counts[hold.kind] = counts.get(hold.kind, 0) + hold.count
    for op in problem.ops:
        longest = max((by_hand[n] for n in able_hands(problem, op)), default=everyone)
        if not op.breakable and op.minutes > longest:
            yield op.id, too_long(op, longest), ""
            continue
        for kind, count in taken.get(op.id, {}).items():
            owned = problem.clamps.get(kind, 0)
            if count > owned:
                yield op.id, too_many(kind, count, owned), ""
                break


def too_many(kind: str, count: int, owned: int) -> str:
    """Why the operation cannot have so many clamps or fixtures, and what to do."""
    if kind.startswith(FIXTURE):
        return f"It holds {count} of {kind}, and there are {owned}. Hold fewer at once, or count the shop's again."
    return f"It takes {counted(count, f'{kind} clamp')}, the shop has {owned}. Glue up in parts, or get more."


def longest_stretch(hours: Hours) -> int:
    """Minutes of the longest stretch of working hours, 0 when there is none."""
    return max((close - begin for begin, close in zip(hours.opens, hours.closes, strict=True)), default=0)


def too_long(op: Op, longest: int) -> str:
    """Why the operation fits into no window of at most so many minutes, and what to do."""
    return (
        f"It takes {op.minutes} min in one go, the longest stretch of working hours is {longest} min. "
        "Divide it, mark it breakable, or work longer that day."
    )


def never_placed(problem: Problem) -> Iterator[Reason]:
    """What neither the priority rule nor a deadlock-free order can place, for want of clamps or of hours.

    Only operations whose predecessors can be placed: the others follow from these.
    """
    compiled = compile_problem(problem)
    schedule = initial_schedule(compiled, latest_start_values(compiled))
    if not schedule.unplaced:
        return
    everything = set(range(len(compiled.ids)))
    for_clamps = everything - set(deadlock_free_order(compiled))
    for_hours = everything - set(schedule.order)
    for i in sorted(for_clamps or for_hours):
        if any(before in (for_clamps or for_hours) for before, _ in compiled.predecessors[i]):
            continue
        yield compiled.ids[i], never_free(problem, compiled.ids[i]) if for_clamps else NO_HOURS, ""


def never_free(problem: Problem, op: str) -> str:
    """What the operation waits for in vain: clamps, or where it takes none, its fixture."""
    takes_clamps = any(hold.take == op and not hold.kind.startswith(FIXTURE) for hold in problem.holds)
    return NO_CLAMPS if takes_clamps else NO_FIXTURE
