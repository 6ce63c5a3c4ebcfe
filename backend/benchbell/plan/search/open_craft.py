"""Craft during parallel generation: what a choice would spoil, in minutes that it costs."""

from bisect import bisect_left

from benchbell.plan.model.compiled_craft import CompiledCraft
from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR, Hours
from benchbell.plan.search.untorn import opening_after, untorn_start


class OpenCraft:
    """Craft in one schedule that is being generated.

    weight: value lost for each minute that a fault costs.
    wet_until: until when dust would spoil something. due: operation to the latest start that is wanted, from lags that
    have begun; soon: the least of these that is to come, FAR without any.
    """

    def __init__(self, compiled: CompiledProblem, craft: CompiledCraft, hours: Hours, weight: int) -> None:
        self.compiled, self.craft, self.hours, self.weight = compiled, craft, hours, weight
        self.minutes, self.touchy, self.marks = compiled.minutes, craft.touchy, craft.marks
        self.is_dusty, self.wet_until = craft.is_dusty, craft.wet_until
        self.due: dict[int, int] = {}
        self.soon = FAR

    def judge(self, i: int, start: int, setting: int, close: int, ready: list[int]) -> tuple[int, int]:
        """When operation `i` should start, not before `start`, and the priority value that it loses.

        It should start later where that leaves no piece that is too short. It loses value for dust beside something
        wet, for fiddly work in the last minutes before closing, for what would begin later than wanted after it, and
        for a wait after it that cannot be as short as is wanted. setting: minutes of setting up. close: when the window
        ends. ready: by operation, its earliest start so far.
        """
        end = start + self.minutes[i]
        if end > close:
            start = untorn_start(self.compiled, self.craft, self.hours, i, start, setting)
            if start >= close:
                return start, 0
        cost = self.near_closing(i, end) if self.touchy[i] else 0
        if start < self.wet_until and self.is_dusty[i]:
            cost += self.weight * self.craft.costs.dust
        if end > self.soon:
            cost += self.late_after(i, start, end, ready)
        return start, cost

    def late_after(self, i: int, start: int, end: int, ready: list[int]) -> int:
        """What it costs that others, which could still begin in time, begin too late after operation `i`."""
        late = [k for k, due in self.due.items() if k != i and due < end and start <= due and ready[k] <= due]
        return self.weight * self.craft.costs.late_act * len(late)

    def near_closing(self, i: int, end: int) -> int:
        """What it costs that closing time comes soon after operation `i`."""
        craft, costs = self.craft, self.craft.costs
        cost = 0
        if craft.is_fiddly[i] or i in craft.starts:
            k = bisect_left(craft.closings, end)
            if k == len(craft.closings):
                return 0  # it outlasts all hours, so that it will not be placed
            close = craft.closings[k]
            if craft.is_fiddly[i] and close - end < costs.last_minutes:
                cost += costs.fiddly
            for lag in craft.starts.get(i, ()):
                if end + lag.least + self.compiled.needed[lag.after] > close:
                    cost += costs.late_act * (end + lag.most < opening_after(self.hours, close))
        return self.weight * cost

    def note(self, i: int, end: int) -> None:
        """Note that operation `i` is placed and ends at `end`, if it is marked, or that is after `soon`."""
        craft, due = self.craft, self.due
        if i in craft.wet:
            self.wet_until = max(self.wet_until, end + craft.wet[i])
        if due:
            due.pop(i, None)
            for k in [k for k, at in due.items() if at < end]:
                del due[k]
        if i in craft.starts:
            for lag in craft.starts[i]:
                due[lag.after] = end + lag.most
        self.soon = min(due.values()) if due else FAR

    def go_to(self, wet_until: int, due: dict[int, int]) -> None:
        """Go on from what was wet and due at some moment."""
        self.wet_until, self.due = wet_until, due.copy()
        self.soon = min(due.values()) if due else FAR
