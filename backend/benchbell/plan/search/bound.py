"""Earliest and latest starts over the calendar, and a lower bound on the finish.

The bound is destructive: a finish is tried, and if it can be refuted the bound is higher; binary search finds the
least finish that is not refuted. The refutation relaxes the problem to one machine that may interrupt anything, with
heads (earliest starts) and tails, scheduled by earliest deadline (Jackson's rule; Carlier 1982; from memory). Each
needed setup that does not stand is a job of its own.
"""

from collections.abc import Callable
from heapq import heappop, heappush

from msgspec import Struct

from benchbell.plan.model.compiled_problem import NONE, CompiledProblem
from benchbell.plan.model.hours import FAR, earliest_start, latest_start, open_minutes


class SetupJob(Struct, frozen=True):
    """A setup that some operations need and that does not stand at the beginning: it is made once at least.

    minutes: the last minutes of setting up for the first of these operations, from the nearest other setup.
    """

    minutes: int
    ops: list[int]


def earliest_starts(compiled: CompiledProblem, ready: list[int] | None = None) -> list[int]:
    """By operation, a minute before which it cannot start: forward pass over precedence and hours only.

    ready: earliest starts that are known already, in place of the problem's.
    """
    start = (ready or compiled.ready).copy()
    for i in compiled.order:
        start[i] = begin = earliest_start(compiled.hours, start[i], compiled.minutes[i], compiled.breakable[i])
        end = compiled.end(i, begin)
        for j, lag in compiled.successors[i]:
            if start[j] < end + lag:
                start[j] = end + lag
    return start


def latest_starts(compiled: CompiledProblem, due: list[int]) -> list[int]:
    """By operation, the latest start for which all can still be done by `due`: backward pass over precedence and hours.

    due: by operation, when it should be done, its run included. Hands, stations and clamps are not considered.
    """
    hours, minutes, breakable, runs = compiled.hours, compiled.minutes, compiled.breakable, compiled.runs
    start = [0] * len(due)
    for i in reversed(compiled.order):
        end = due[i] - runs[i]
        for j, lag in compiled.successors[i]:
            if start[j] - lag < end:
                end = start[j] - lag
        start[i] = latest_start(hours, end, minutes[i], breakable[i])
    return start


def lower_bound(compiled: CompiledProblem, most: int, hands: int = 1) -> int:
    """A minute before which no plan finishes. most: a finish that some plan reaches, or the end of all hours."""
    heads = earliest_starts(compiled)
    jobs = setup_jobs(compiled)
    low = max((compiled.end(i, begin) + compiled.runs[i] for i, begin in enumerate(heads)), default=compiled.start)
    return least_not_refuted(low, max(most, low), lambda finish: is_refuted(compiled, heads, jobs, finish, hands))


def least_not_refuted(low: int, high: int, refuted: Callable[[int], bool]) -> int:
    """The least finish between the two that is not refuted; `high` where all before it are."""
    while low < high:
        middle = (low + high) // 2
        if refuted(middle):
            low = middle + 1
        else:
            high = middle
    return low


def setup_jobs(compiled: CompiledProblem) -> list[SetupJob]:
    """One for each needed setup that does not stand at the beginning and takes time whatever was set before."""
    found: list[SetupJob] = []
    for station, matrix in enumerate(compiled.setup_minutes):
        groups: dict[int, list[int]] = {}
        for i, at in enumerate(compiled.station):
            if at == station and compiled.setup[i] not in (NONE, compiled.standing[station]):
                groups.setdefault(compiled.setup[i], []).append(i)
        for to, ops in groups.items():
            minutes = min((row[to] for setup, row in enumerate(matrix) if setup != to), default=0)
            if minutes:
                found.append(SetupJob(minutes, ops))
    return found


def jobs_by_finish(
    compiled: CompiledProblem, setups: list[SetupJob], heads: list[int], tails: list[int]
) -> list[tuple[int, int, int]]:
    """One-machine jobs (release, deadline, minutes) in open minutes: the operations, by number, then the setups.

    heads, tails: earliest and latest starts by operation. A setup ends where the first of its operations starts, so no
    sooner than the earliest of them can, and no later than the latest start of any of them.
    """
    hours = compiled.hours
    jobs = [
        (open_minutes(hours, head), open_minutes(hours, compiled.end(i, tail)), compiled.minutes[i])
        for i, (head, tail) in enumerate(zip(heads, tails, strict=True))
    ]
    for setup in setups:
        release = max(0, min(jobs[i][0] for i in setup.ops) - setup.minutes)
        jobs.append((release, open_minutes(hours, min(tails[i] for i in setup.ops)), setup.minutes))
    return jobs


def is_refuted(compiled: CompiledProblem, heads: list[int], setups: list[SetupJob], finish: int, hands: int) -> bool:
    """True if no plan can be done by `finish`.

    heads: earliest starts by operation. Several pairs of hands are relaxed to one pair that has `hands` minutes in each
    minute.
    """
    tails = latest_starts(compiled, [finish] * len(heads))
    if any(tail < head for head, tail in zip(heads, tails, strict=True)):
        return True
    jobs = jobs_by_finish(compiled, setups, heads, tails)
    return not can_meet_deadlines([(hands * release, hands * deadline, work) for release, deadline, work in jobs])


def can_meet_deadlines(jobs: list[tuple[int, int, int]]) -> bool:
    """True if one machine that may interrupt its jobs can do them all in time, earliest deadline first.

    jobs: (release, deadline, minutes).
    """
    jobs = sorted(jobs)
    now, n = 0, 0
    waiting: list[tuple[int, int]] = []
    while n < len(jobs) or waiting:
        if not waiting:
            now = max(now, jobs[n][0])
        while n < len(jobs) and jobs[n][0] <= now:
            heappush(waiting, jobs[n][1:])
            n += 1
        deadline, left = heappop(waiting)
        done = min(left, (jobs[n][0] if n < len(jobs) else FAR) - now)
        now += done
        if done < left:
            heappush(waiting, (deadline, left - done))
        if now > deadline:
            return False
    return True


def least_changes(compiled: CompiledProblem) -> int:
    """Setup changes in any order: one for each needed setup that does not stand at the beginning."""
    needed = {(at, setup) for at, setup in zip(compiled.station, compiled.setup, strict=True) if at >= 0 and setup >= 0}
    return sum(compiled.standing[at] != setup for at, setup in needed)
