"""The shifts of a plan: the hours under one heading, and what of them a piece of work takes."""

from bisect import bisect_right
from collections.abc import Sequence
from datetime import datetime
from itertools import pairwise

from msgspec import Struct

from benchbell.durations import MINUTE_MS
from benchbell.moments import date_of
from benchbell.plan.model.problem import NIGHT
from benchbell.planner.shop_hours import DAYS, MONTHS
from benchbell.recipe.measure import TIME, show

NIGHT_MS = NIGHT * MINUTE_MS
"""So long the shop is closed between two shifts that begin on one day; a break is shorter."""

Span = tuple[int, int]
"""A stretch of time [start, end) in ms."""


class Shift(Struct, frozen=True):
    """The stretches of hours that begin on one day, with breaks between them; at least one."""

    spans: tuple[Span, ...]

    @property
    def first(self) -> datetime:
        """The day on which it begins."""
        return date_of(self.spans[0][0], None)

    @property
    def last(self) -> datetime:
        """The day of its last minute."""
        return date_of(self.spans[-1][1] - MINUTE_MS, None)

    @property
    def is_night(self) -> bool:
        """Whether it goes over midnight."""
        return self.first.date() != self.last.date()


def shifts_of(hours: Sequence[Span]) -> list[Shift]:
    """The hours of a plan as shifts. hours: in order."""
    found: list[list[Span]] = []
    for span in hours:
        if found and goes_on(found[-1], span):
            found[-1].append(span)
        else:
            found.append([span])
    return [Shift(tuple(spans)) for spans in found]


def goes_on(spans: Sequence[Span], next_span: Span) -> bool:
    """Whether a shift that so far has these stretches has the next one too."""
    same_day = date_of(spans[0][0], None).date() == date_of(next_span[0], None).date()
    return same_day and next_span[0] - spans[-1][1] < NIGHT_MS


def shift_at(ms: int, shifts: Sequence[Shift]) -> Shift:
    """The shift in which a moment is; outside of all of them, one of that minute alone."""
    n = bisect_right(shifts, ms, key=lambda shift: shift.spans[0][0]) - 1
    if n >= 0 and ms <= shifts[n].spans[-1][1]:
        return shifts[n]
    return Shift(((ms, ms + MINUTE_MS),))


def heading(shift: Shift, begins: datetime) -> str:
    """As "Wednesday 9 December", "Night of Wed 9 to Thu 10 December"; with a year that is not that of `begins`."""
    last = shift.last
    end = f"{last.day} {last:%B}{'' if last.year == begins.year else f' {last.year}'}"
    if not shift.is_night:
        return f"{last:%A} {end}"
    first = shift.first
    month = "" if first.month == last.month else f" {first:%B}"
    return f"Night of {weekday(first)} {first.day}{month} to {weekday(last)} {end}"


def pieces_of(start: int, end: int, shifts: Sequence[Shift]) -> str:
    """Of work that closing tears, how long it takes in each shift, and when a break falls into it; else "".

    As "39 min on Wed, 15 min on Thu, with a break from 12:00 to 12:30".
    """
    torn = [(shift, cut) for shift in shifts if (cut := cut_to(start, end, shift.spans))]
    parts = [f"{minutes_in_words(cut)} {on_day(shift, torn)}" for shift, cut in torn]
    breaks = [
        f"{date_of(before, None):%H:%M} to {date_of(after, None):%H:%M}"
        for _, cut in torn
        for (_, before), (after, _) in pairwise(cut)
    ]
    resting = f"with {'a break' if len(breaks) == 1 else 'breaks'} from {' and '.join(breaks)}" if breaks else ""
    words = ", ".join(filter(None, (", ".join(parts) if len(torn) > 1 else "", resting)))
    return f"{words[0].upper()}{words[1:]}." if words else ""


def cut_to(start: int, end: int, spans: Sequence[Span]) -> list[Span]:
    """What of the stretches lies between two moments."""
    return [(max(start, a), min(end, b)) for a, b in spans if max(start, a) < min(end, b)]


def minutes_in_words(spans: Sequence[Span]) -> str:
    """The length of stretches as "1 h 30 min"."""
    return show(sum(end - start for start, end in spans) // MINUTE_MS, TIME, "mm")


def on_day(shift: Shift, torn: Sequence[tuple[Shift, object]]) -> str:
    """As "on Wed", "in the night of Wed"; with the date where the work goes on for a week."""
    first = shift.first
    far = (torn[-1][0].first.date() - torn[0][0].first.date()).days >= len(DAYS) - 1
    date = f" {first.day} {MONTHS[first.month - 1]}" if far else ""
    return f"{'in the night of' if shift.is_night else 'on'} {weekday(first)}{date}"


def weekday(day: datetime) -> str:
    """As "Wed"."""
    return DAYS[day.weekday()].capitalize()
