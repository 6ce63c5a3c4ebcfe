"""Maximal lags, such as recoat windows, during parallel generation: what must wait, and what would be too late."""

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR, Hours, earliest_start

PENALTY = 64
"""Priority value lost for each minute past a maximal lag: more than any other reason to choose an operation."""

MOST_PENALTY = 1 << 32
TRIES = 12
"""In how many later windows a start is looked for that keeps the lag: enough for the weekends of a long holiday."""


class OpenLags:
    """The maximal lags of one schedule that is being generated.

    due: operation to its latest start, from latest starts given and from lags that have begun. starts: operation to
    the lags that begin when it ends.
    """

    def __init__(self, compiled: CompiledProblem, hours: Hours) -> None:
        self.compiled, self.hours = compiled, hours
        self.due = compiled.by.copy()
        lags = compiled.max_lags
        self.starts = {lag.before: [other for other in lags if other.before == lag.before] for lag in lags}

    def judge(self, i: int, start: int, now: int, idle: int, ready: list[int], waits: list[int]) -> tuple[int, int]:
        """What starting operation `i` at `start` would do: (minutes to hold it back, priority value it loses).

        Minutes count from now; 0 if it need not be held back. It is held back for an operation that is about to be
        ready and would be too late after it, and until its own successors can keep their lags.
        idle: minutes from now to its setting up. ready, waits: by operation, its earliest start so far, and how many
        of its predecessors are not placed.
        """
        end = self.compiled.end(i, start)
        exceeded = 0
        for k, due in self.due.items():
            over = self.in_hours(k, max(end, ready[k])) - due
            if k == i or over <= 0:
                continue
            over -= max(0, self.in_hours(k, max(now, ready[k])) - due)  # late already, whatever is chosen now
            if over > 0 and not waits[k] and ready[k] > now:
                return ready[k] - now, 0
            exceeded += max(0, over)
        if i in self.starts and (over := self.exceeded_after(i, end)):
            delay = self.delay(i, start)
            if delay and start + delay <= self.due.get(i, FAR):
                return idle + delay, 0
            exceeded += over
        return 0, min(PENALTY * exceeded, MOST_PENALTY)

    def place(self, i: int, end: int) -> None:
        """Note that operation `i` is placed and ends at `end`."""
        self.due.pop(i, None)
        for lag in self.starts.get(i, ()):
            self.due[lag.after] = min(end + lag.most, self.due.get(lag.after, FAR))

    def in_hours(self, i: int, at: int) -> int:
        """The earliest start of operation `i`, not before `at`, by the hours alone."""
        return earliest_start(self.hours, at, self.compiled.minutes[i], self.compiled.breakable[i])

    def exceeded_after(self, i: int, end: int) -> int:
        """Minutes by which the lags after operation `i` are exceeded at least, if it ends at `end`."""
        return sum(max(0, self.in_hours(x.after, end + x.least) - end - x.most) for x in self.starts[i])

    def delay(self, i: int, start: int) -> int:
        """Minutes to delay operation `i` so that the lags after it can be kept; 0 if none of TRIES windows helps."""
        at = start
        for _ in range(TRIES):
            over = self.exceeded_after(i, self.compiled.end(i, at))
            if not over:
                return at - start
            at = self.in_hours(i, at + min(over, FAR))
            if at == FAR:
                break
        return 0
