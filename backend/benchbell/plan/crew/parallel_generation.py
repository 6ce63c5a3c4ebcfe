"""The parallel schedule generation scheme for several pairs of hands: whoever is free first takes up the best.

Time goes forward from event to event. Of the operations that are eligible, the pair of hands that is free first takes
the one with the greatest priority value, less what setting up and idling would cost now; where none can be taken up,
it is passed over until something changes. Maximal lags and begun operations are left to `crew_generation.py`, which
times the order that comes out.
"""

from bisect import insort
from heapq import heappop, heappush

from benchbell.plan.crew.crew_generation import Crew
from benchbell.plan.model.hours import FAR, end_of
from benchbell.plan.model.schedule import Schedule
from benchbell.plan.search.open_craft import OpenCraft
from benchbell.plan.search.parallel_generation import IDLE_COST, NO_STATION, Priorities

FIRST = 1 << 32
"""Value added to what must be taken up before all else: more than any other reason to choose an operation."""


def generate_parallel_for_crew(crew: Crew, priorities: Priorities) -> Schedule | None:
    """The schedule that the priorities make; None where hours or clamps are too few for it."""
    generation = CrewInParallel(crew, priorities)
    while generation.eligible:
        if not generation.advance():
            return None
    return generation.schedule()


class CrewInParallel:
    """A schedule that is being generated.

    eligible: entries (cost, operation), sorted: the least cost, which is the greatest value negated, first. hands: for
    each pair (free from, number, window), sorted. given_back: clamps by the moment at which they come back, a heap.
    ready: by operation, its earliest start so far. waits: by operation, how many predecessors are not placed. busy,
    standing: by station, until when it is busy, and its setup. craft: None where it is left out of account. manned: the
    stations where the hands stand, the last used last. visits, away: by station, value lost for coming to it from
    another one, and as they stand now. taken_up: by operation, when its setting up starts.
    """

    def __init__(self, crew: Crew, priorities: Priorities) -> None:
        self.compiled, self.priorities = crew.compiled, priorities
        compiled = crew.compiled
        self.cost = [-value - FIRST * (i in crew.first) for i, value in enumerate(priorities.values)]
        self.eligible = sorted((self.cost[i], i) for i in compiled.sources)
        self.ready, self.waits = compiled.ready.copy(), compiled.waits.copy()
        self.standing = [*compiled.standing, 0]
        self.busy = [compiled.start] * len(self.standing)
        self.setup_minutes = [*compiled.setup_minutes, NO_STATION]
        self.craft: OpenCraft | None = None
        self.visits, self.manned = [0] * len(self.standing), list[int]()
        if compiled.craft and priorities.craft:
            self.craft = OpenCraft(compiled, compiled.craft, compiled.hours, priorities.craft)
            self.visits = [priorities.craft * minutes for minutes in compiled.craft.visits]
        self.away = self.visits.copy()
        if compiled.craft and compiled.craft.here >= 0:
            self.manned, self.away[compiled.craft.here] = [compiled.craft.here], 0
        opens = compiled.hours.opens
        self.hands = [(opens[0] if opens else FAR, hand, 0) for hand in range(crew.hands)]
        self.free, self.given_back = compiled.free, list[tuple[int, int]]()
        count = len(priorities.values)
        self.start, self.end, self.taken_up = [0] * count, [0] * count, [0] * count
        self.order: list[int] = []
        self.changes = 0

    def advance(self) -> bool:
        """Place one operation, or pass over the pair of hands that is free first; False where the hours are too few."""
        now, hand, window = self.hands[0]
        hours = self.compiled.hours
        if window >= len(hours.opens):
            return False
        while self.given_back and self.given_back[0][0] <= now:
            self.free += heappop(self.given_back)[1]
        place, start, wake = self.choose(now, hours.closes[window])
        if place < 0:
            self.hands[0] = self.passed_over(hand, window, now + wake)
        else:
            _, i = self.eligible.pop(place)
            end = start + self.compiled.minutes[i]
            if end > hours.closes[window]:
                end = end_of(hours, start, self.compiled.minutes[i])
                if end == FAR:
                    return False
                while hours.closes[window] < end:
                    window += 1
            self.place(i, start, end)
            self.hands[0] = (end, hand, window)
        self.hands.sort()
        return True

    def choose(self, now: int, close: int) -> tuple[int, int, int]:
        """(place in `eligible`, start, FAR) of what to take up now; (-1, FAR, minutes to wait) where nothing can be.

        close: when the window ends in which `now` lies. Minutes to wait are FAR where only another event can help.
        """
        compiled, ready, busy, standing = self.compiled, self.ready, self.busy, self.standing
        craft, away = self.craft, self.away
        weight, most_idle, free = self.priorities.setup_weight, self.priorities.most_idle, self.free
        station, setup, needed, takes, guards = (
            compiled.station, compiled.setup, compiled.needed, compiled.takes, compiled.guards,
        )  # fmt: skip
        place, best, best_start, wake = -1, FAR, FAR, FAR
        for k, (cost, i) in enumerate(self.eligible):
            if cost >= best:
                break
            if takes[i] and (free - takes[i]) & guards[i] != guards[i]:
                continue
            at = station[i]
            setting = self.setup_minutes[at][standing[at]][setup[i]] if at >= 0 else 0
            begin = max(now, busy[at]) if at >= 0 else now
            start = max(begin + setting, ready[i])
            if start + needed[i] > close:
                continue
            idle = start - setting - now
            if idle > most_idle:
                wake = min(wake, idle)
                continue
            cost += weight * setting + IDLE_COST * idle + away[at]
            if craft and cost < best:
                later, penalty = craft.judge(i, start, setting, close, ready)
                if later >= close:
                    continue
                cost += IDLE_COST * (later - start) + penalty
                start = later
            if cost < best:
                place, best, best_start = k, cost, start
        return (place, best_start, FAR) if place >= 0 else (-1, FAR, wake)

    def passed_over(self, hand: int, window: int, wake: int) -> tuple[int, int, int]:
        """The pair of hands at the next moment at which it may find something: an event, or the next window."""
        now = self.hands[0][0]
        events = [wake, *(free for free, _, _ in self.hands if free > now), *(at for at, _ in self.given_back[:1])]
        after = max(now + 1, min(events))
        hours = self.compiled.hours
        if after < hours.closes[window]:
            return after, hand, window
        window += 1
        return (hours.opens[window] if window < len(hours.opens) else FAR), hand, window

    def place(self, i: int, start: int, end: int) -> None:
        """Note that the operation is done from `start` to `end`."""
        compiled = self.compiled
        at, setup = compiled.station[i], compiled.setup[i]
        self.order.append(i)
        self.start[i], self.end[i] = start, end
        self.taken_up[i] = start - (self.setup_minutes[at][self.standing[at]][setup] if at >= 0 else 0)
        self.free -= compiled.takes[i]
        if compiled.gives[i]:
            heappush(self.given_back, (end, compiled.gives[i]))
        if at >= 0:
            self.busy[at] = end + compiled.runs[i]
            if self.visits[at] and at not in self.manned[-1:]:
                self.go_to(at)
            if setup >= 0 and self.standing[at] != setup:
                self.standing[at] = setup
                self.changes += 1
        if self.craft:
            self.craft.note(i, end)
        for j, lag in compiled.successors[i]:
            self.ready[j] = max(self.ready[j], end + lag)
            self.waits[j] -= 1
            if not self.waits[j]:
                insort(self.eligible, (self.cost[j], j))

    def go_to(self, at: int) -> None:
        """Somebody goes to this station, from the one that was used least recently."""
        self.manned = [*(one for one in self.manned if one != at), at]
        for one in self.manned[: -len(self.hands)]:
            self.away[one] = self.visits[one]
        self.manned = self.manned[-len(self.hands) :]
        self.away[at] = 0

    def schedule(self) -> Schedule:
        """The schedule, once every operation is placed."""
        finish = max((self.end[i] + self.compiled.runs[i] for i in self.order), default=self.compiled.start)
        order = sorted(self.order, key=self.taken_up.__getitem__)
        return Schedule(order, self.start, self.end, finish, self.changes)
