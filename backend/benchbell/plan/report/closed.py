"""Moments at which the shop is closed: over lunch, overnight, over the weekend. Times in minutes."""

from bisect import bisect_right

from benchbell.plan.model.hours import FAR
from benchbell.plan.model.problem import NIGHT
from benchbell.plan.report.context import Context, Say
from benchbell.plan.report.timeline import Timeline

LUNCH = ("11:00", "14:30")
"""Between these a short closing is lunch. Common practice, no source."""

WEEKENDS = ("Thu", "Fri", "Sat")
"""Days on which a shop closes that opens again on Monday. Common practice, no source."""

LONGEST_NIGHT = 20 * 60
"""Closed for longer is more than a night: a day off lies in it."""


def closing_around(minute: int, t: Timeline) -> tuple[int, int] | None:
    """When the shop closes and opens again, where it is closed at that minute, or has just closed; else None."""
    opens, closes = t.compiled.hours.opens, t.compiled.hours.closes
    k = bisect_right(closes, minute)
    if k < len(opens) and minute > opens[k]:
        return None
    return (closes[k - 1] if k else t.problem.start), (opens[k] if k < len(opens) else FAR)


def closed_words(minute: int, c: Context) -> str:
    """That closing in words, as "over lunch", "overnight"; "" where the shop is open."""
    closing = closing_around(minute, c.t)
    return words_of(*closing, c.say) if closing else ""


def words_of(closes: int, opens: int, say: Say) -> str:
    """A closing in words. opens: FAR where no other day is known."""
    if opens == FAR:
        return "while the shop is closed"
    begins, same_day = say(closes, closes), say(opens, closes) == say(opens, opens)
    if opens - closes < NIGHT:
        return "over lunch" if LUNCH[0] <= begins <= LUNCH[1] else "over the break"
    if same_day:
        return "while the shop is closed"
    if opens - closes <= LONGEST_NIGHT:
        return "overnight"
    is_weekend = say(closes, opens)[:3] in WEEKENDS and say(opens, closes).startswith("Mon")
    return "over the weekend" if is_weekend else "while the shop is closed"


def is_only_closing(since: int, until: int, t: Timeline) -> bool:
    """True if from the first minute to the second, at which the shop is closed, it closes for a night just once."""
    return t.next_day(since) > until or t.next_day(since) == FAR


def is_short(minute: int, t: Timeline) -> bool:
    """True if the shop is closed then for less than a night."""
    closing = closing_around(minute, t)
    return closing is not None and closing[1] - closing[0] < NIGHT
