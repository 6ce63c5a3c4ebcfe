"""Craft during parallel generation: what a choice would spoil, in minutes that it costs."""

from bisect import bisect_left

from benchbell.plan.model.compiled_craft import NOWHERE, CompiledCraft
from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR, Hours
from benchbell.plan.search.untorn import opening_after, untorn_start


class OpenCraft:
    """Craft in one schedule that is being generated.

    weight: value lost for each minute that a fault costs. here: the station where work was last done, or NOWHERE.
    wet_until: until when dust would spoil something. due: operation to the latest start that is wanted, from lags that
    have begun; soon: the least of these that is to come, FAR without any.
    """

    def __init__(self, compiled: CompiledProblem, craft: CompiledCraft, hours: Hours, weight: int) -> None:
        self.compiled, self.craft, self.hours, self.weight = compiled, craft, hours, weight
        self.minutes, self.places, self.touchy = compiled.minutes, craft.place, craft.touchy
        self.visit = weight * craft.costs.visit
        self.here, self.wet_until = craft.here, craft.wet_until
        self.due: dict[int, int] = {}
        self.soon = FAR

    def judge(self, i: int, start: int, setting: int, close: int, ready: list[int]) -> tuple[int, int]:
        """When operation `i` should start, not before `start`, and the priority value that it loses.

        It should start later where that leaves no piece that is too short. It loses value for coming back to a station,
        for dust beside something wet, for fiddly work in the last minutes before closing, for what would begin later
        than wanted after it, and for a wait after it that cannot be as short as is wanted. ready: by operation, its
        earliest start so far. setting: minutes of setting up. close: when the window ends.
        """
        end = start + self.minutes[i]
        if end > close:
            start = untorn_start(self.compiled, self.craft, self.hours, i, start, setting)
            if start >= close:
                return start, 0
        at = self.places[i]
        cost = self.visit if at != self.here and at != NOWHERE else 0
        if end > self.soon:
            cost += self.late_after(i, start, end, ready)
        if self.touchy[i]:
            cost += self.spoiled_by(i, start, end)
        return start, cost

    def late_after(self, i: int, start: int, end: int, ready: list[int]) -> int:
        """What it costs that others, which could still begin in time, begin too late after operation `i`."""
        late = [k for k, due in self.due.items() if k != i and due < end and start <= due and ready[k] <= due]
        return self.weight * self.craft.costs.late_act * len(late)

    def spoiled_by(self, i: int, start: int, end: int) -> int:
        """What it costs that something is wet, or that closing time comes soon after operation `i`."""
        craft, costs = self.craft, self.craft.costs
        cost = costs.dust if start < self.wet_until and craft.is_dusty[i] else 0
        if craft.is_fiddly[i] or i in craft.starts:
            close = craft.closings[bisect_left(craft.closings, end)]
            if craft.is_fiddly[i] and close - end < costs.last_minutes:
                cost += costs.fiddly
            for lag in craft.starts.get(i, ()):
                if not lag.open_only and end + lag.least + self.compiled.needed[lag.after] > close:
                    cost += costs.late_act * (end + lag.most < opening_after(self.hours, close))
        return self.weight * cost

    def place(self, i: int, end: int) -> None:
        """Note that operation `i` is placed and ends at `end`."""
        at, craft = self.places[i], self.craft
        if at != NOWHERE:
            self.here = at
        if i in craft.wet:
            self.wet_until = max(self.wet_until, end + craft.wet[i])
        if i in craft.starts or i in self.due:
            self.due.pop(i, None)
            for lag in craft.starts.get(i, ()):
                if not lag.open_only:
                    self.due[lag.after] = end + lag.most
            self.soon = 0
        if end > self.soon:
            self.soon = min((due for due in self.due.values() if due >= end), default=FAR)
