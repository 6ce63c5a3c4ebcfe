"""A plan by operation: what comes before and after each, at its station and in the same hands. Times in minutes."""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import TypeVar

from msgspec import Struct

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hands import hours_of_hand
from benchbell.plan.model.hours import FAR, Hours, end_of
from benchbell.plan.model.problem import Hold, Link, Op, Placed, Plan, Problem
from benchbell.plan.model.which_hands import NOBODY, which_hands
from benchbell.plan.report.spans import Spans, spans_of

Grouped = TypeVar("Grouped")


class Timeline(Struct, frozen=True):
    """A plan, by operation of its problem.

    at: its times; rank: its place in the plan. coming, going: links to it and from it. takes, gives: the holds that it
    begins and ends. free_since: since when the hands that do it are free for it; hands_before: what they did last, ""
    for nothing. on_station: by station, its operations in the plan's order; station_before: the one before at the
    same station, "" for none. begun: what is in hand. dues: by promised
    piece, when. hand_hours: by hand of the crew, when it is there. dusty: when what throws dust is worked on; wet: when
    dust would spoil what was done; nothing in both where craft does not count.
    """

    problem: Problem
    compiled: CompiledProblem
    plan: Plan
    ops: Mapping[str, Op]
    number: Mapping[str, int]
    at: Mapping[str, Placed]
    rank: Mapping[str, int]
    coming: Mapping[str, Sequence[Link]]
    going: Mapping[str, Sequence[Link]]
    takes: Mapping[str, Sequence[Hold]]
    gives: Mapping[str, Sequence[Hold]]
    free_since: Mapping[str, int]
    hands_before: Mapping[str, str]
    on_station: Mapping[str, Sequence[str]]
    station_before: Mapping[str, str]
    begun: Sequence[str]
    dues: Mapping[str, int]
    hand_hours: Sequence[Hours]
    dusty: Spans
    wet: Spans

    def hours_of(self, one: Placed) -> Hours:
        """When whoever does it is there."""
        return self.compiled.hours if one.hand is None else self.hand_hours[one.hand]

    def end_of(self, one: Placed, start: int) -> int:
        """Its attended end if it started then, inside hours; FAR when these are too few."""
        op = self.ops[one.op]
        return end_of(self.hours_of(one), start, op.minutes) if op.breakable and op.minutes else start + op.minutes

    def next_day(self, minute: int) -> int:
        """When the day after this minute begins; FAR after the last one."""
        mornings = self.compiled.mornings
        k = bisect_right(mornings, minute)
        return mornings[k] if k < len(mornings) else FAR


def timeline_of(problem: Problem, compiled: CompiledProblem, plan: Plan) -> Timeline:
    """The timeline of a plan. compiled: its problem."""
    order = plan.placed
    ops = {op.id: op for op in problem.ops}
    free_since, hands_before = by_hands(problem, order)
    at = {one.op: one for one in order}
    placed = [at[id] for id in compiled.ids]
    craft = compiled.craft
    on_station: dict[str, list[str]] = defaultdict(list)
    station_before: dict[str, str] = {}
    for one in order:
        if station := ops[one.op].station:
            station_before[one.op] = on_station[station][-1] if on_station[station] else ""
            on_station[station].append(one.op)
    return Timeline(
        problem=problem,
        compiled=compiled,
        plan=plan,
        ops=ops,
        number={id: n for n, id in enumerate(compiled.ids)},
        at=at,
        rank={one.op: n for n, one in enumerate(order)},
        coming=grouped((link.after, link) for link in problem.links),
        going=grouped((link.before, link) for link in problem.links),
        takes=grouped((hold.take, hold) for hold in problem.holds),
        gives=grouped((hold.give, hold) for hold in problem.holds),
        free_since=free_since,
        hands_before=hands_before,
        on_station=on_station,
        station_before=station_before,
        begun=[op.id for op in problem.ops if op.begun],
        dues=dues_of(problem),
        hand_hours=[hours_of_hand(problem, hand) for hand in problem.crew],
        dusty=spans_of((placed[i].start, i, placed[i].end) for i in craft.dusty) if craft else spans_of(()),
        wet=spans_of((placed[i].end, i, placed[i].end + dry) for i, dry in craft.wet.items())
        if craft
        else spans_of(()),
    )


def by_hands(problem: Problem, order: Sequence[Placed]) -> tuple[dict[str, int], dict[str, str]]:
    """By operation, since when the hands that do it are free for it, and what they did last."""
    since, before = [problem.start] * problem.hands, [""] * problem.hands
    free_since, hands_before = {}, {}
    for one, pair in zip(order, which_hands(order, problem.hands), strict=True):
        if pair == NOBODY:
            free_since[one.op], hands_before[one.op] = problem.start, ""
            continue
        free_since[one.op], hands_before[one.op] = since[pair], before[pair]
        since[pair], before[pair] = one.end, one.op
    return free_since, hands_before


def grouped(pairs: Iterable[tuple[str, Grouped]]) -> defaultdict[str, list[Grouped]]:
    """What goes with each name, in order; nothing for any other."""
    found: defaultdict[str, list[Grouped]] = defaultdict(list)
    for name, one in pairs:
        found[name].append(one)
    return found


def dues_of(problem: Problem) -> dict[str, int]:
    """By promised piece, its earliest due time."""
    dues: dict[str, int] = {}
    for op in problem.ops:
        if op.due is not None:
            dues[op.piece] = min(op.due, dues.get(op.piece, op.due))
    return dues
