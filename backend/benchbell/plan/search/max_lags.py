"""Longest waits, such as recoat windows, while a plan is being made: what must not begin yet, or not any more."""

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR, Hours, soonest

STRAIN = 64
"""Value lost by a minute past a limit: more than any other reason to choose."""

MOST_STRAIN = 1 << 32
TRIES = 12
"""How many windows later a beginning is looked for that keeps its limit: over a long holiday's weekends."""


class Waits:
    """Limits of one walk: those that run, by who must begin, with the moment; and those each operation will start."""

    def __init__(self, shop: CompiledProblem, hours: Hours) -> None:
        self.shop, self.hours = shop, hours
        self.due = shop.by.copy()
        self.starts = {limit.before: [x for x in shop.limits if x.before == limit.before] for limit in shop.limits}

    def judge(self, i: int, begins: int, now: int, idle: int, begin: list[int], waits: list[int]) -> tuple[int, int]:
        """Minutes from now to wait before `i` is looked at again, 0 for none; and value lost if it begins here.

        begin, waits: by operation, its soonest start so far, and how many operations it still waits for.
        """
        end = self.shop.ended(i, begins)
        strain = 0
        for k, due in self.due.items():
            over = self.begins(k, max(end, begin[k])) - due
            if k == i or over <= 0:
                continue
            over -= max(0, self.begins(k, max(now, begin[k])) - due)
            if over > 0 and not waits[k] and begin[k] > now:
                return begin[k] - now, 0
            strain += max(0, over)
        if i in self.starts and (over := self.past(i, end)):
            shift = self.relief(i, begins)
            if shift and begins + shift <= self.due.get(i, FAR):
                return idle + shift, 0
            strain += over
        return 0, min(STRAIN * strain, MOST_STRAIN)

    def place(self, i: int, end: int) -> None:
        """Note that `i` was done at `end`."""
        self.due.pop(i, None)
        for limit in self.starts.get(i, ()):
            self.due[limit.after] = min(end + limit.most, self.due.get(limit.after, FAR))

    def begins(self, i: int, at: int) -> int:
        """When `i` could begin by the hours alone."""
        return soonest(self.hours, at, self.shop.minutes[i], self.shop.breakable[i])

    def past(self, i: int, end: int) -> int:
        """Minutes by which limits that start with `i` would be passed at best, if `i` ended then."""
        return sum(max(0, self.begins(x.after, end + x.gap) - end - x.most) for x in self.starts[i])

    def relief(self, i: int, begins: int) -> int:
        """Minutes later at which `i` may begin without passing a limit; 0 if that does not come soon."""
        at = begins
        for _ in range(TRIES):
            over = self.past(i, self.shop.ended(i, at))
            if not over:
                return at - begins
            at = self.begins(i, at + min(over, FAR))
            if at == FAR:
                break
        return 0
