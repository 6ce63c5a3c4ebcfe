"""A sharper lower bound on the finish: edge finding for one pair of hands over operations and setups.

In open minutes the operations and the setups that any plan needs are jobs of one machine, without interruption. When
they are to be done by some finish, edge finding tells which job must come after all of a set of others (Carlier and
Pinson 1989 and 1994, in the quadratic form of Nuijten 1994; all from memory). What it narrows, precedence and hours
pass on, until nothing changes or a job no longer fits between its head and its deadline.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Callable

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR, Hours
from benchbell.plan.search.bound import SetupJob, earliest_starts, jobs_by_finish, latest_starts, setup_jobs

Job = tuple[int, int, int]
"""Release, deadline and minutes."""


def sharper_bound(compiled: CompiledProblem, low: int, high: int, is_spent: Callable[[], bool]) -> int:
    """A minute before which no plan finishes, for one pair of hands.

    low: such a minute that is known. high: a finish that some plan reaches. is_spent: asked before each pass; when it
    says so, what is proved by then counts.
    """
    setups = setup_jobs(compiled)
    heads = earliest_starts(compiled)
    while low < high:
        middle = (low + high) // 2
        refuted = is_refuted_by_edges(compiled, setups, heads, middle, is_spent)
        if refuted is None:
            break
        if refuted:
            low = middle + 1
        else:
            high = middle
    return low


def is_refuted_by_edges(
    compiled: CompiledProblem, setups: list[SetupJob], heads: list[int], finish: int, is_spent: Callable[[], bool]
) -> bool | None:
    """True if no plan can be done by `finish`; False if that is not refuted; None if there was no time to tell."""
    due = [finish] * len(heads)
    while True:
        if is_spent():
            return None
        heads = earliest_starts(compiled, heads)
        tails = latest_starts(compiled, due)
        if any(tail < head for head, tail in zip(heads, tails, strict=True)):
            return True
        jobs = jobs_by_finish(compiled, setups, heads, tails)
        releases = later_releases(jobs)
        end = compiled.hours.worked[-1]
        reverse = later_releases([(end - deadline, end - release, minutes) for release, deadline, minutes in jobs])
        if releases is None or reverse is None:
            return True
        for n, setup in enumerate(setups, len(heads)):
            for i in setup.ops:
                releases[i] = max(releases[i], releases[n] + setup.minutes)
        moved = False
        for i in range(len(heads)):
            release, deadline, _ = jobs[i]
            if releases[i] > release:
                heads[i] = max(heads[i], first_moment(compiled.hours, releases[i]))
                moved = True
            if end - reverse[i] < deadline:
                due[i] = min(due[i], last_moment(compiled.hours, end - reverse[i]) + compiled.runs[i])
                moved = True
        if not moved:
            return False


def later_releases(jobs: list[Job]) -> list[int] | None:
    """By job, a release before which it cannot start on one machine; None if some job cannot be done in time.

    For each deadline the jobs due by then are a set. A job that cannot be done before or among the jobs of such a set
    that are released no sooner than one of them comes after all of these.
    """
    found = [release for release, _, _ in jobs]
    order = sorted((n for n, job in enumerate(jobs) if job[2]), key=lambda n: jobs[n][0])
    for limit in sorted({jobs[n][1] for n in order}):
        work, end, longest = 0, 0, 0
        ends = []  # by place from the last in order: the least end of the set's jobs from here on
        for n in reversed(order):
            release, deadline, minutes = jobs[n]
            if deadline <= limit:
                work += minutes
                if release + work > end:
                    end = release + work
            elif minutes > longest:
                longest = minutes
            ends.append(end)
        if end > limit:
            return None
        if end + longest <= limit or not work:
            continue
        latest = 0
        for n in order:
            release, deadline, minutes = jobs[n]
            end_from_here = ends.pop()
            if deadline <= limit:
                latest = max(latest, release + work)
                work -= minutes
            elif latest + minutes > limit:
                found[n] = max(found[n], end)
            elif work and release + work + minutes > limit:
                found[n] = max(found[n], end_from_here)
    return found


def first_moment(hours: Hours, position: int) -> int:
    """The first moment before which there are so many open minutes; FAR when there are never so many."""
    k = bisect_left(hours.worked, position) - 1
    if k < 0:
        return hours.opens[0] if hours.opens else FAR
    return hours.opens[k] + position - hours.worked[k] if k < len(hours.opens) else FAR


def last_moment(hours: Hours, position: int) -> int:
    """The last moment before which there are no more than so many open minutes; FAR when there are never more."""
    k = bisect_right(hours.worked, position) - 1
    return hours.opens[k] + position - hours.worked[k] if k < len(hours.opens) else FAR
