"""From open builds to a planning problem. Minute 0 is now; what is under way keeps its own moments."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from math import ceil

from msgspec import Struct

from benchbell.bench.state import OperationState
from benchbell.durations import MINUTE_MS
from benchbell.plan.model.problem import Hold, Link, Op, Problem, Station, Window
from benchbell.plan.report.messages import Unplanned
from benchbell.plan.tasks.task import OpenBuild, ToDo, anchor, is_under_way, key_of, last_key, to_do, wait_of
from benchbell.recipe.sheet import ClockSpec, Operation, Setup

Hours = Callable[[int], Iterable[tuple[int, int]]]
"""The stretches [start, end) in ms in which hands work, from now on, until so many open minutes are found."""


SETTING_UP = 30
A_WEEK = 40 * 60


class Posed(Struct, frozen=True):
    """A problem, and what its names stand for. acts: by op of the problem."""

    problem: Problem
    acts: dict[str, ToDo]
    unplanned: tuple[Unplanned, ...]


def pose(
    builds: Sequence[OpenBuild],
    hours: Hours,
    clamps: Mapping[str, int],
    now: int,
    hands: int = 1,
) -> Posed:
    """The problem of all that is still to be done. clamps: by kind; a kind not named is never short."""
    lost = {build.id: stuck(build) for build in builds}
    acts = {
        act.key: act
        for build in builds
        for op in build.sheet.operations
        if op.id not in lost[build.id]
        for act in to_do(build, op)
    }
    holds = tuple(hold for build in builds for hold in holds_of(build, acts))
    ops = tuple(op_of(act, build, now) for build in builds for act in acts.values() if act.build == build.id)
    links = tuple(link for build in builds for link in links_of(build, acts))
    stretches = [window_of(start, end, now) for start, end in hours(enough(ops, links))]
    problem = Problem(
        start=0,
        windows=tuple(window for window in stretches if window.end > window.start),
        stations=stations(builds, acts),
        clamps=counted(holds, clamps),
        ops=ops,
        links=links,
        holds=holds,
        hands=hands,
    )
    return Posed(problem, acts, tuple(told for build in builds for told in spoiled(build, lost[build.id])))


def enough(ops: Sequence[Op], links: Sequence[Link]) -> int:
    """Open minutes in which even a poor plan is through: all work with its setting up, and each wait by itself."""
    work = sum(SETTING_UP + op.minutes for op in ops)
    return A_WEEK + 2 * work + max((op.ready for op in ops), default=0) + longest_wait(ops, links)


def longest_wait(ops: Sequence[Op], links: Sequence[Link]) -> int:
    """The longest sum of waits along any chain; links stand in an order that can be worked."""
    waits = {op.id: 0 for op in ops}
    for link in links:
        waits[link.after] = max(waits[link.after], waits[link.before] + link.lag)
    return max(waits.values(), default=0)


def window_of(start: int, end: int, now: int) -> Window:
    """A stretch of hours in whole minutes from now, what is past cut away."""
    return Window(max(0, ceil((start - now) / MINUTE_MS)), (end - now) // MINUTE_MS)


def stuck(build: OpenBuild) -> frozenset[str]:
    """Operations on spoiled parts, and all that comes after them."""
    found: set[str] = set()
    for op in build.sheet.operations:
        if build.bench.operations[op.id].status == "spoiled" or any(before in found for before in op.after):
            found.add(op.id)
    return frozenset(found)


def spoiled(build: OpenBuild, lost: frozenset[str]) -> list[Unplanned]:
    """Why they stand still, a sentence for each operation whose parts are spoiled."""
    titles = {part.id: part.title for part in build.sheet.parts} | {a.id: a.title for a in build.sheet.assemblies}
    states = build.bench.operations
    return [
        Unplanned(
            build.id,
            op.id,
            f"{', '.join(titles.get(part, part) for part in states[op.id].lost)} spoiled: make it again first.",
        )
        for op in build.sheet.operations
        if op.id in lost and states[op.id].status == "spoiled"
    ]


def op_of(act: ToDo, build: OpenBuild, now: int) -> Op:
    """One act as the problem has it."""
    op = act.operation
    ready, by = bounds(act, build, now)
    return Op(
        id=act.key,
        minutes=act.minutes,
        station=op.station if act.act == "work" else "",
        setup=setup_key(build, op) if act.act == "work" and not act.begun else "",
        ready=ready,
        breakable=op.breakable and act.act == "work",
        begun=act.begun,
        piece=build.id,
        due=None if build.due is None else (build.due - now) // MINUTE_MS,
        weight=build.weight,
        by=by,
    )


def bounds(act: ToDo, build: OpenBuild, now: int) -> tuple[int, int | None]:
    """From when the act may begin, and by when it should, as running clocks tell, in minutes from now."""
    waited = {(act.operation.id, "in-clamps")} if act.act == "clamps-off" else set()
    if act.act == "work" and not act.begun:
        waited = {(hold.operation, hold.clock) for hold in act.operation.holds}
    clocks = [clock for clock in build.running if (clock.operation, clock.kind) in waited]
    ready = max((ceil((c.least - now) / MINUTE_MS) for c in clocks if c.least is not None), default=0)
    limits = [(c.most - now) // MINUTE_MS for c in clocks if c.most is not None]
    return max(0, ready), max(0, min(limits)) if limits else None


def links_of(build: OpenBuild, acts: Mapping[str, ToDo]) -> Iterable[Link]:
    """What must come before what, and how long after; in an order in which acts can be done."""
    ops = {op.id: op for op in build.sheet.operations}
    states = build.bench.operations
    for op in build.sheet.operations:
        work, off = key_of(build.id, op.id), key_of(build.id, op.id, "clamps-off")
        clamping = wait_of(op, "in-clamps")
        if work in acts and not acts[work].begun:
            for before in op.after:
                if (last := last_key(build.id, ops[before])) in acts:
                    yield Link(last, work)
            for hold in op.holds:
                spec = wait_of(ops[hold.operation], hold.clock)
                if spec and not is_under_way(spec, states[hold.operation]):
                    from_ = anchor(build.id, ops[hold.operation], spec)
                    if from_ in acts:
                        yield link(from_, work, spec)
        if work in acts and off in acts and clamping:
            yield link(work, off, clamping)


def link(before: str, after: str, spec: ClockSpec) -> Link:
    """A clock as a link; its limit counts only where something must go on in time."""
    most = None if spec.most_ms is None else spec.most_ms // MINUTE_MS
    return Link(before, after, ceil((spec.least_ms or 0) / MINUTE_MS), most)


def holds_of(build: OpenBuild, acts: Mapping[str, ToDo]) -> Iterable[Hold]:
    """Clamps each glue-up takes, or holds already."""
    for op in build.sheet.operations:
        work, off = key_of(build.id, op.id), key_of(build.id, op.id, "clamps-off")
        if off in acts and not is_off(build.bench.operations[op.id]):
            for kind, count in op.clamps.items():
                yield Hold(kind, count, work if work in acts else "", off)


def is_off(state: OperationState) -> bool:
    """Whether the clamps came off."""
    return "clamps-off" in state.marks


def counted(holds: Sequence[Hold], clamps: Mapping[str, int]) -> dict[str, int]:
    """How many clamps there are, by kind; what is in use already is there for certain."""
    used = {kind: sum(h.count for h in holds if h.kind == kind and not h.take) for kind in {h.kind for h in holds}}
    everything = {kind: sum(h.count for h in holds if h.kind == kind) for kind in used}
    return {kind: max(used[kind], clamps.get(kind, everything[kind])) for kind in sorted(used)}


def setup_key(build: OpenBuild, op: Operation) -> str:
    """The setup's name over all builds: those of one recipe share it."""
    return f"{build.sheet.recipe}|{op.setup}" if op.setup else ""


def stations(builds: Sequence[OpenBuild], acts: Mapping[str, ToDo]) -> tuple[Station, ...]:
    """Every station that is still needed, what it is set to, and how long each setup takes."""
    by_id = {(build.sheet.recipe, setup.id): setup for build in builds for setup in build.sheet.setups}
    minutes = {f"{recipe}|{id}": setup for (recipe, id), setup in by_id.items()}
    stands = standing(builds, acts)
    needed: dict[str, set[str]] = {}
    for build in builds:
        for act in acts.values():
            if act.build == build.id and act.act == "work" and act.operation.station:
                needed.setdefault(act.operation.station, set()).update({setup_key(build, act.operation)} - {""})
    return tuple(
        Station(id, stands.get(id, ""), changeovers(sorted(setups), stands.get(id, ""), minutes))
        for id, setups in sorted(needed.items())
    )


def standing(builds: Sequence[OpenBuild], acts: Mapping[str, ToDo]) -> dict[str, str]:
    """By station, the setup it stands in: that of the operation in hand, else the last one it was put in."""
    latest: dict[str, tuple[int, str]] = {}
    for build in builds:
        for station, stands in build.bench.stations.items():
            latest[station] = max(latest.get(station, (-1, "")), (stands.ms, f"{build.sheet.recipe}|{stands.setup}"))
        for act in acts.values():
            if act.build == build.id and act.begun and act.act == "work" and act.operation.setup:
                began = build.bench.operations[act.operation.id].marks.get("began", 0)
                now_there = (began, setup_key(build, act.operation))
                latest[act.operation.station] = max(latest.get(act.operation.station, (-1, "")), now_there)
    return {station: setup for station, (_, setup) in latest.items()}


def changeovers(needed: Sequence[str], stands: str, setups: Mapping[str, Setup]) -> dict[str, dict[str, int]]:
    """Minutes from each setup to each: by where it goes, wherever it comes from."""
    minutes = {to: ceil(setups[to].minutes) for to in needed}
    return {at: {to: 0 if to == at else minutes[to] for to in needed} for at in sorted({"", stands, *needed})}
