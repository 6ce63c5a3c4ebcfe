"""The parallel schedule generation scheme for one pair of hands, with calendar, setups, clamps and maximal lags.

Time goes forward. At each moment the eligible operation with the greatest priority value is started; if none can
start, time moves on to when one can. Values are static, less what setting up, idling and exceeded lags would cost now.
"""

from bisect import insort
from operator import neg

from msgspec import Struct

from benchbell.plan.model.compiled_problem import NONE, CompiledProblem
from benchbell.plan.model.hours import FAR, Hours, end_of
from benchbell.plan.model.schedule import Schedule
from benchbell.plan.search.checkpoints import Checkpoint, Difference, Generated, State, checkpoints_from, step_for
from benchbell.plan.search.max_lags import OpenLags
from benchbell.plan.search.open_craft import OpenCraft

IDLE_COST = 4
"""Priority value lost for each idle minute; measured on generated shops, where 2 to 8 made little difference."""

NO_STATION = [[0]]
"""The setup matrix of the place where work without a station is done: number NONE, last in the list of stations."""


class Priorities(Struct, frozen=True):
    """How to choose. values: by operation, the greater the sooner.

    setup_weight: value lost for each minute of setting up. most_idle: minutes to stay idle for an operation at most.
    craft: value lost for each minute that a fault of craft costs; 0 where craft is left out of account.
    """

    values: list[int]
    setup_weight: int
    most_idle: int
    craft: int = 4


def generate_parallel(
    compiled: CompiledProblem, hours: Hours, priorities: Priorities, latest: list[int], most_late: int = FAR
) -> Schedule | None:
    """The schedule that the priorities make; None as soon as its lateness exceeds `most_late`.

    hours: in place of the problem's own. latest: by operation, the start from which on it counts as late, in minutes.
    """
    found = generate_with_checkpoints(compiled, hours, priorities, latest, most_late)
    return found.schedule if found else None


def generate_with_checkpoints(
    compiled: CompiledProblem,
    hours: Hours,
    priorities: Priorities,
    latest: list[int],
    most_late: int = FAR,
    difference: Difference | None = None,
) -> Generated | None:
    """As `generate_parallel`, with what is needed to generate others from part of it.

    With a difference, only what may differ is generated: from the last checkpoint before it, until both are in the
    same state again. The hours must be the same too.
    """
    state = Eligible(compiled, hours, priorities)
    eligible, choose, release, standing, busy = state.eligible, state.choose, state.release, state.standing, state.busy
    minutes, runs, gives, successors = compiled.minutes, compiled.runs, compiled.gives, compiled.successors
    lags, craft, away, visits, here = state.lags, state.craft, state.away, state.visits, state.here
    marks = craft.marks if craft else []
    calendar = WindowCursor(hours)
    now, free, changes, lateness = calendar.open, compiled.free, 0, 0
    order: list[int] = []
    starts, ends = [0] * len(minutes), [0] * len(minutes)
    costs: list[int] = []
    checkpoints: list[Checkpoint] = []
    step = step_for(len(minutes))
    like = difference.of if difference else None
    if like:
        starts, ends = like.schedule.start.copy(), like.schedule.end.copy()
    if difference and like and difference.first >= step:  # else it begins anew: other weights see another first state
        at_first = like.checkpoints[difference.first // step]
        now, free, changes, lateness = at_first.state.now, at_first.state.free, at_first.changes, at_first.lateness
        order, costs = like.schedule.order[: at_first.place], like.costs[: at_first.place]
        checkpoints = like.checkpoints[: at_first.place // step]
        calendar.go_to(at_first.state.window)
        state.go_to(at_first.state)
        here = at_first.state.here
        if lateness > most_late:
            return None
    mark = len(order)
    while eligible and now < FAR:
        if len(order) == mark:
            reached = state.state(now, calendar.window, free, here)
            if difference and like and difference.is_over(mark, reached):
                checkpoints += checkpoints_from(like, mark, changes, lateness)
                order += like.schedule.order[mark:]
                costs += like.costs[mark:]
                changes += like.schedule.changes - like.checkpoints[mark // step].changes
                lateness += like.schedule.lateness - like.checkpoints[mark // step].lateness
                if lateness > most_late:
                    return None
                break
            checkpoints.append(Checkpoint(mark, changes, lateness, reached))
            mark += step
        place, start, wake, cost = choose(now, calendar.close, free)
        if place < 0:
            now = calendar.wait(now + wake)
            continue
        _, i, _, at, setup, takes, _ = eligible.pop(place)
        now = start + minutes[i]
        if now > calendar.close:
            now = calendar.interrupted_end(start, minutes[i])
            if now == FAR:
                break
        order.append(i)
        costs.append(cost)
        starts[i], ends[i] = start, now
        if start > latest[i]:
            lateness += start - latest[i]
            if lateness > most_late:
                return None
        free += gives[i] - takes
        if at >= 0:
            busy[at] = now + runs[i]
            if visits and at != here and visits[at]:
                away[here], away[at] = visits[here], 0
                here = at
            if setup >= 0 and standing[at] != setup:
                standing[at] = setup
                changes += 1
        release(now, successors[i])
        if lags:
            lags.place(i, now)
        if craft and (marks[i] or now > craft.soon):
            craft.note(i, now)
    finish = max([ends[i] + runs[i] for i in order], default=compiled.start)
    schedule = Schedule(order, starts, ends, finish, changes, lateness, len(minutes) - len(order))
    return Generated(schedule, costs, checkpoints, step)


class Eligible:
    """The eligible operations, those whose predecessors are all placed, and what choosing one of them depends on.

    eligible: entries (cost, operation, needed minutes, station, setup, packed clamps, their guards), sorted, so that
    the least cost, which is the greatest value negated, comes first. ready: by operation, its earliest start so far.
    waits: by operation, how many predecessors are not placed. busy, standing: by station, until when it is busy, and
    its setup. craft: None where it is left out of account. here: the station where work was last done. visits, away:
    by station, value lost for coming to it from another one, and from here.
    """

    def __init__(self, compiled: CompiledProblem, hours: Hours, priorities: Priorities) -> None:
        numbers, costs = range(len(priorities.values)), map(neg, priorities.values)
        clamps = compiled.takes, compiled.guards
        self.entries = list(
            zip(costs, numbers, compiled.needed, compiled.station, compiled.setup, *clamps, strict=True)
        )
        self.eligible = sorted([self.entries[i] for i in compiled.sources])
        self.successors = compiled.successors
        self.ready, self.waits = compiled.ready.copy(), compiled.waits.copy()
        self.standing = [*compiled.standing, 0]
        self.busy = [compiled.start] * len(self.standing)
        self.lags = OpenLags(compiled, hours) if compiled.max_lags or compiled.by else None
        self.craft: OpenCraft | None = None
        self.touchy: list[bool] = []
        self.visits: list[int] = []
        self.here, self.away = NONE, [0] * len(self.standing)
        if compiled.craft and priorities.craft:
            self.craft = OpenCraft(compiled, compiled.craft, hours, priorities.craft)
            self.touchy = compiled.craft.touchy
            self.visits = [priorities.craft * minutes for minutes in compiled.craft.visits]
            self.here, self.away = compiled.craft.here, self.visits.copy()
            self.away[self.here] = 0
        # One tuple, since unpacking it is quicker than looking up so many attributes in the innermost loop.
        self.reads = (
            priorities.setup_weight, priorities.most_idle, self.eligible, [*compiled.setup_minutes, NO_STATION],
            self.standing, self.busy, self.ready, self.lags, self.away, self.craft, self.touchy,
        )  # fmt: skip

    def state(self, now: int, window: int, free: int, here: int) -> State:
        """The state, at this moment in the window of this number and with these packed clamps free."""
        craft = self.craft
        return State(
            now=now,
            window=window,
            free=free,
            eligible=sorted([entry[1] for entry in self.eligible]),
            standing=self.standing.copy(),
            busy=[at if at > now else now for at in self.busy],
            waits=self.waits.copy(),
            ready=[at if at > now else now for at in self.ready],
            here=here,
            due=list(self.lags.due.items()) if self.lags else [],
            wet_until=max(now, craft.wet_until) if craft else now,
            wanted=craft.due.copy() if craft else {},
        )

    def go_to(self, at: State) -> None:
        """Go on from this state."""
        self.eligible[:] = sorted([self.entries[i] for i in at.eligible])
        self.ready[:], self.waits[:] = at.ready, at.waits
        self.standing[:], self.busy[:] = at.standing, at.busy
        if self.lags:
            self.lags.due = dict(at.due)
        if self.craft:
            self.craft.go_to(at.wet_until, at.wanted)
            self.away[:] = self.visits
            self.away[at.here] = 0

    def choose(self, now: int, close: int, free: int) -> tuple[int, int, int, int]:
        """(place in `eligible`, start) of the operation to start now; place -1 if none can start in this window.

        Third, the minutes after which an operation that was held back should be considered again; FAR without one.
        Fourth, the cost at which the operation was chosen. close: when the window ends. free: packed clamps.
        """
        setup_weight, most_idle, eligible, setup_minutes, standing, busy, ready, lags, away, craft, touchy = self.reads
        chosen, chosen_start, best, wake = -1, 0, FAR, FAR
        for place, (cost, i, needed, at, setup, takes, guards) in enumerate(eligible):
            if cost >= best:
                break  # the rest cost no less, and every cost only grows below
            if guards and (free - takes) & guards != guards:
                continue
            setting = setup_minutes[at][standing[at]][setup]
            start = (busy[at] if busy[at] > now else now) + setting
            if start < ready[i]:
                start = ready[i]
            if start + needed > close:
                continue
            idle = start - setting - now
            if idle > most_idle:
                if idle < wake:
                    wake = idle
                continue
            cost += setup_weight * setting + IDLE_COST * idle + away[at]
            if craft and cost < best and (touchy[i] or craft.due or start < craft.wet_until):
                later, penalty = craft.judge(i, start, setting, close, ready)
                if later >= close:
                    continue
                cost += IDLE_COST * (later - start) + penalty
                start = later
            if lags and cost < best:
                held, penalty = lags.judge(i, start, now, idle, ready, self.waits)
                wake = min(wake, held or FAR)
                cost = FAR if held else cost + penalty
            if cost < best:
                chosen, chosen_start, best = place, start, cost
        return chosen, chosen_start, wake, best

    def release(self, end: int, successors: list[tuple[int, int]]) -> None:
        """An operation with these successors ends at `end`: those that wait for nothing else become eligible."""
        ready, waits = self.ready, self.waits
        for j, lag in successors:
            if ready[j] < end + lag:
                ready[j] = end + lag
            waits[j] -= 1
            if not waits[j]:
                insort(self.eligible, self.entries[j])


class WindowCursor:
    """The window of hours in which time stands, going forward. open, close: its beginning and end; FAR without any."""

    def __init__(self, hours: Hours) -> None:
        self.hours = hours
        self.window = 0
        self.open, self.close = (hours.opens[0], hours.closes[0]) if hours.opens else (FAR, FAR)

    def go_to(self, window: int) -> None:
        """Make the window of this number the current one."""
        if window < len(self.hours.closes):
            self.window, self.close = window, self.hours.closes[window]

    def wait(self, until: int) -> int:
        """The moment to go on at: `until`, or the next opening if the window closes before; FAR after the last one."""
        if until < self.close:
            return until
        self.window += 1
        if self.window == len(self.hours.opens):
            return FAR
        self.close = self.hours.closes[self.window]
        return self.hours.opens[self.window]

    def interrupted_end(self, start: int, minutes: int) -> int:
        """The end of breakable work that goes on in later windows, the last of which is then current; or FAR."""
        end = end_of(self.hours, start, minutes)
        if end < FAR:
            while self.hours.closes[self.window] < end:
                self.window += 1
            self.close = self.hours.closes[self.window]
        return end
