"""Right shift, the backward half of justification: operations start later where that is better.

An operation that starts a maximal lag need not be done long before the operation at the lag's other end can start.
Justification in general: Valls, Ballestín and Quintanilla 2005 (from memory).
"""

from collections.abc import Iterable, Mapping

from benchbell.plan.model.compiled_problem import CompiledProblem, MaxLag
from benchbell.plan.model.hours import FAR, latest_start
from benchbell.plan.model.schedule import Schedule, overrun_of, rank, setups_before


def right_shifted(compiled: CompiledProblem, schedule: Schedule) -> Schedule:
    """The schedule with less overrun and the same order, if that is possible and makes nothing else worse."""
    if not compiled.max_lags or schedule.unplaced or not overrun_of(compiled, schedule):
        return schedule
    place = {i: n for n, i in enumerate(schedule.order)}
    for lag in sorted(exceeded(compiled, schedule), key=lambda x: -place[x.before]):
        starts = latest_starts_in_order(compiled, schedule, {}, place[lag.before], place[lag.after])
        ends = ends_with(compiled, schedule, starts)
        later = Schedule(schedule.order, starts, ends, schedule.finish, schedule.changes, schedule.lateness)
        if rank(compiled, later) <= rank(compiled, schedule):
            schedule = later
    return schedule


def exceeded(compiled: CompiledProblem, schedule: Schedule) -> Iterable[MaxLag]:
    """The maximal lags that the schedule exceeds."""
    start, end = schedule.start, schedule.end
    return (x for x in compiled.max_lags if start[x.after] > end[x.before] + x.most)


def ends_with(compiled: CompiledProblem, schedule: Schedule, starts: list[int]) -> list[int]:
    """By operation, its attended end with these starts in place of the schedule's."""
    return [
        end if start == was else compiled.end(i, start)
        for i, (was, start, end) in enumerate(zip(schedule.start, starts, schedule.end, strict=True))
    ]


def latest_starts_in_order(
    compiled: CompiledProblem, schedule: Schedule, start_by: Mapping[int, int], first: int, behind: int
) -> list[int]:
    """By operation, its start; those at places `first` … `behind` - 1 of the order are as late as the rest allows.

    Neither the finish nor the tardiness of a piece gets worse. start_by: operation to a start it must not pass.
    """
    setting = setups_before(compiled, schedule.order)
    starts = schedule.start.copy()
    due = latest_ends(compiled, schedule)
    hands, station_free = FAR, [FAR] * len(compiled.standing)
    for n in range(len(schedule.order) - 1, first - 1, -1):
        i = schedule.order[n]
        station = compiled.station[i]
        if n < behind:
            by = min(hands, due[i] - compiled.runs[i], *(starts[j] - lag for j, lag in compiled.successors[i]))
            if station >= 0:
                by = min(by, station_free[station] - compiled.runs[i])
            starts[i] = max(starts[i], latest_with_setup(compiled, i, setting[i], by, start_by.get(i, FAR)))
        hands = starts[i] - setting[i]
        if station >= 0:
            station_free[station] = hands
    return starts


def latest_with_setup(compiled: CompiledProblem, i: int, setting: int, by: int, start_by: int) -> int:
    """The latest start with `setting` minutes of setting up directly before it, done by `by`, started by `start_by`."""
    hours, minutes = compiled.hours, compiled.minutes[i]
    if not compiled.breakable[i]:
        return setting + latest_start(hours, min(by, start_by + minutes), setting + minutes, False)
    start = min(latest_start(hours, by, minutes, True), start_by)
    return setting + latest_start(hours, start + 1, setting + 1, False)


def latest_ends(compiled: CompiledProblem, schedule: Schedule) -> list[int]:
    """By operation, the latest end, its run included, that makes neither the finish nor its piece's tardiness worse."""
    latest = [schedule.finish] * len(compiled.ids)
    for piece in compiled.pieces:
        done = max(schedule.end[i] + compiled.runs[i] for i in piece.ops)
        for i in piece.ops:
            latest[i] = min(schedule.finish, max(done, piece.due))
    return latest
