"""Open minutes as bits of one whole number, so that a free stretch of time is found by shifting bits."""

from bisect import bisect_right
from functools import lru_cache
from itertools import pairwise

from benchbell.plan.model.hours import FAR, Hours, earliest_start


class Axis:
    """All open minutes in a row; position 0 is the first. Closed time is not on the axis. length: in minutes."""

    def __init__(self, hours: Hours) -> None:
        self.hours = hours
        self.length = hours.worked[-1]
        self.fitting = lru_cache(maxsize=None)(self.find_fitting)

    def position(self, at: int) -> int:
        """The first open minute not before `at`; the length of the axis when there is none."""
        hours = self.hours
        k = bisect_right(hours.opens, at) - 1
        return hours.worked[k] + min(at, hours.closes[k]) - hours.opens[k] if k >= 0 else 0

    def time(self, position: int) -> int:
        """The moment at which the minute at `position` begins; FAR beyond the axis."""
        k = bisect_right(self.hours.worked, position) - 1
        return self.hours.opens[k] + position - self.hours.worked[k] if k < len(self.hours.opens) else FAR

    def end(self, position: int) -> int:
        """The moment at which the minute before `position` ends."""
        return self.time(position - 1) + 1

    def find_fitting(self, minutes: int) -> int:
        """Bits of the positions from which so many minutes, at least one, lie in one window. Cached as `fitting`."""
        found = 0
        for begin, end in pairwise(self.hours.worked):
            if end - begin >= minutes:
                found |= (1 << end - minutes + 1) - (1 << begin)
        return found


class Team:
    """When pairs of hands are busy. busy[n]: bits of the positions at which more than n pairs are busy."""

    def __init__(self, axis: Axis, hands: int) -> None:
        self.axis = axis
        self.busy = [0] * hands
        self.all = (1 << axis.length) - 1

    def when(self, earliest: int, together: int, minutes: int) -> tuple[int, int]:
        """When work that lasts so many minutes is taken up, not before `earliest`, and its end; both FAR for never.

        together: how many of its minutes, the first ones, must lie in one window. Work of no length needs no free hand.
        """
        if not minutes:
            at = earliest_start(self.axis.hours, earliest, 0, False)
            return at, at
        position = self.free_from(self.axis.position(earliest), together, minutes)
        return (FAR, FAR) if position == FAR else (self.axis.time(position), self.axis.end(position + minutes))

    def free_from(self, position: int, together: int, minutes: int) -> int:
        """The first position, not before `position`, from which one pair of hands is free for so many minutes.

        together: how many of these minutes, the first ones, must lie in one window. FAR if there is no such position.
        """
        free = (self.all ^ self.busy[-1]) >> position
        run = 1
        while run < minutes:
            step = min(run, minutes - run)
            free &= free >> step
            run += step
        free &= self.axis.fitting(together) >> position
        return position + (free & -free).bit_length() - 1 if free else FAR

    def reserve(self, position: int, minutes: int) -> None:
        """One more pair of hands is busy for so many minutes from `position` on."""
        if not minutes:
            return
        taken = (1 << minutes) - 1 << position
        for n, busy in enumerate(self.busy):
            self.busy[n], taken = busy | taken, busy & taken
