"""A lower bound on the finish for hands that differ: as `search/bound.py`, with each hand's own hours and stations.

For each set of hands that some operation is confined to, all operations and setups confined to it are one machine's
jobs, in the minutes for which these hands are there.
"""

from benchbell.plan.crew.crew_generation import Able, Crew, able_at
from benchbell.plan.model.compiled_problem import NONE
from benchbell.plan.model.hours import FAR, Hours, earliest_start, end_of, hours_of, latest_start, open_minutes
from benchbell.plan.model.problem import Window
from benchbell.plan.search.bound import SetupJob, can_meet_deadlines, least_not_refuted, setup_jobs


def crew_bound(crew: Crew, most: int) -> int:
    """A minute before which no plan finishes. most: a finish that some plan reaches, or the end of all hours."""
    return CrewBound(crew).least_finish(most)


class CrewBound:
    """What does not depend on the finish. able: by operation, who may do it. hours: by such a set, when any is there.

    there: by such a set, the hours of each of its hands. heads: earliest starts by operation. released: by set, the
    operations confined to it, each with the minutes for which its hands are there before the head. setups: by set, what
    only its hands can set up, each with such minutes before it may begin.
    """

    def __init__(self, crew: Crew) -> None:
        self.compiled = compiled = crew.compiled
        able = {station: able_at(crew.people, station) for station in range(NONE, len(compiled.standing))}
        self.able = [able[station] for station in compiled.station]
        sets = dict.fromkeys((able[NONE], *self.able))
        self.there = {hands: [crew.people[n].axis.hours for n in hands] for hands in sets}
        self.hours = {hands: hours_together(several) for hands, several in self.there.items()}
        self.heads = self.earliest_starts()
        self.released = {
            hands: [(i, self.minutes_until(hands, head)) for i, head in enumerate(self.heads) if self.able[i] <= hands]
            for hands in sets
        }
        setups = setup_jobs(compiled)
        self.setups = {
            hands: [(self.setup_release(hands, one), one) for one in setups if self.able[one.ops[0]] <= hands]
            for hands in sets
        }

    def least_finish(self, most: int) -> int:
        """The least finish that is not refuted, up to `most`."""
        compiled = self.compiled
        ends = (self.end(i, head) + compiled.runs[i] for i, head in enumerate(self.heads))
        low = max(ends, default=compiled.start)
        return least_not_refuted(low, max(most, low), self.is_refuted)

    def end(self, i: int, start: int) -> int:
        """The earliest end of an operation that starts then, whoever does it."""
        minutes = self.compiled.minutes[i]
        if start == FAR or not self.compiled.breakable[i]:
            return min(FAR, start + minutes)
        return end_of(self.hours[self.able[i]], start, minutes)

    def earliest_starts(self) -> list[int]:
        """By operation, a minute before which it cannot start."""
        compiled = self.compiled
        start = compiled.ready.copy()
        for i in compiled.order:
            hours = self.hours[self.able[i]]
            start[i] = begin = earliest_start(hours, start[i], compiled.minutes[i], compiled.breakable[i])
            end = self.end(i, begin)
            for j, lag in compiled.successors[i]:
                start[j] = max(start[j], end + lag)
        return start

    def latest_starts(self, finish: int) -> list[int]:
        """By operation, the latest start for which all can still be done by `finish`."""
        compiled = self.compiled
        start = [0] * len(compiled.ids)
        for i in reversed(compiled.order):
            by = min([finish - compiled.runs[i], *(start[j] - lag for j, lag in compiled.successors[i])])
            start[i] = latest_start(self.hours[self.able[i]], by, compiled.minutes[i], compiled.breakable[i])
        return start

    def is_refuted(self, finish: int) -> bool:
        """True if no plan can be done by `finish`."""
        tails = self.latest_starts(finish)
        if any(tail < head for head, tail in zip(self.heads, tails, strict=True)):
            return True
        return any(not can_meet_deadlines(self.jobs(hands, tails)) for hands in self.hours)

    def jobs(self, hands: Able, tails: list[int]) -> list[tuple[int, int, int]]:
        """(release, deadline, minutes) of what is confined to these hands, in minutes for which they are there."""
        confined = [
            (release, self.minutes_until(hands, self.end(i, tails[i])), self.compiled.minutes[i])
            for i, release in self.released[hands]
        ]
        setups = [
            (release, self.minutes_until(hands, min(tails[i] for i in one.ops)), one.minutes)
            for release, one in self.setups[hands]
        ]
        return [*confined, *setups]

    def setup_release(self, hands: Able, setup: SetupJob) -> int:
        """For how many minutes these hands are there, at least, before the setup of the first operation begins."""
        first = min(self.heads[i] for i in setup.ops)
        return max(0, self.minutes_until(hands, first) - len(hands) * setup.minutes)

    def minutes_until(self, hands: Able, at: int) -> int:
        """For how many minutes these hands are there before `at`, summed."""
        return sum(open_minutes(hours, at) for hours in self.there[hands])


def hours_together(several: list[Hours]) -> Hours:
    """When at least one of these is open."""
    windows = [Window(*span) for hours in several for span in zip(hours.opens, hours.closes, strict=True)]
    return hours_of(windows, min((window.start for window in windows), default=0))
