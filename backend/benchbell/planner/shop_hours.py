"""The shop's opening hours: from civil time in its time zone to working periods in server time (ms)."""

import re
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta, tzinfo
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.moments import date_of
from benchbell.planner.days_off import DaysOff, is_off

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec")
DEFAULT_HOURS = dict.fromkeys(DAYS[:5], "08:00-17:00")
"""When the shop has set none. Common practice, no source."""

SPAN = re.compile(r"([01]\d|2[0-3]):([0-5]\d)-([01]\d|2[0-3]):([0-5]\d)")
DAY = 24 * 60
"""Minutes of a day by the wall clock."""

LONGEST_NIGHT = 12 * 60
"""Minutes beyond which a stretch over midnight is taken for two times that were written the wrong way round."""

NEXT_STEP = "Write them like 08:00-17:00, or 08:00-12:00, 12:30-17:00; over midnight like 18:00-01:00."

Week = tuple[tuple[tuple[int, int], ...], ...]
"""By weekday from Monday on: working periods (start, end) in minutes after midnight; over midnight, end > DAY."""


def read_hours(value: Any) -> Week:
    """The setting "hours": one text for every day, or a text by weekday; DEFAULT_HOURS for None.

    Raises Refused when it is neither, a text is invalid, no day has hours, or one day's run into those of the next.
    """
    if value is None:
        value = DEFAULT_HOURS
    if isinstance(value, str):
        value = dict.fromkeys(DAYS, value)
    if not isinstance(value, Mapping) or not set(value) <= set(DAYS):
        raise Refused(f"The hours are {value!r:.80}, which names no days.", NEXT_STEP)
    week = tuple(spans_of(value.get(day) or "") for day in DAYS)
    if not any(week):
        raise Refused("The shop is never open by its hours.", NEXT_STEP)
    for n, (spans, next_spans) in enumerate(zip(week, (*week[1:], week[0]), strict=True)):
        if spans and next_spans and spans[-1][1] > next_spans[0][0] + DAY:
            day, next_day = DAYS[n].capitalize(), DAYS[(n + 1) % 7].capitalize()
            raise Refused(f"The hours of {day} go on until after those of {next_day} begin.", NEXT_STEP)
    return week


def spans_of(text: Any) -> tuple[tuple[int, int], ...]:
    """One day's working periods from a text, "" for a day off; the last one may go over midnight.

    Raises Refused when it is invalid or not in order.
    """
    parts = [part for part in re.sub(r"\s", "", str(text)).replace("–", "-").split(",") if part]
    found = [SPAN.fullmatch(part) for part in parts]
    spans = [(60 * int(m[1]) + int(m[2]), 60 * int(m[3]) + int(m[4])) for m in found if m]
    if spans and spans[-1][1] < spans[-1][0] and spans[-1][1] + DAY - spans[-1][0] <= LONGEST_NIGHT:
        spans[-1] = (spans[-1][0], spans[-1][1] + DAY)
    in_order = all(start < end for start, end in spans) and all(a[1] <= b[0] for a, b in pairwise(spans))
    if len(spans) < len(parts) or not in_order:
        raise Refused(f"“{str(text)[:40]}” are not hours of one day in their order.", NEXT_STEP)
    return tuple(spans)


def zone_name(settings: Mapping[str, Any]) -> str:
    """The name of the shop's time zone from its settings; "" for this machine's own."""
    quiet = settings.get("quiet")
    name = settings.get("zone") or (quiet.get("zone") if isinstance(quiet, Mapping) else None)
    return name if isinstance(name, str) else ""


def zone_named(name: str) -> tzinfo | None:
    """A zone of the IANA database; None, which means this machine's own, for "" and unknown names."""
    try:
        return ZoneInfo(name) if name else None
    except (ValueError, OSError, KeyError):
        return None


def stretches(
    week: Week, zone: tzinfo | None, now: int, minutes: int, closed: Sequence[DaysOff] = ()
) -> list[tuple[int, int]]:
    """Working periods [start, end) in ms from `now` (ms) on, until they hold this many minutes.

    closed: dates on which none begins; what began the evening before goes on. The first one contains `now` or follows.
    """
    today = datetime.fromtimestamp(now / 1000, zone).replace(hour=0, minute=0, second=0, microsecond=0)
    day = today - timedelta(days=1)
    found: list[tuple[int, int]] = []
    left = minutes
    while left > 0:
        for opens, closes in () if is_off(day.date(), closed) else week[day.weekday()]:
            start, end = at_minutes(day, opens), at_minutes(day, closes)
            if end > now and end > start:
                found.append((start, end))
                left -= (end - max(start, now)) // MINUTE_MS
        day += timedelta(days=1)
    return found


def at_minutes(day: datetime, minutes: int) -> int:
    """Server time in ms of a civil time, in minutes after that day's midnight by the wall clock; from DAY on, the next.

    A time that the clocks skip is as much later; of one that they show twice it is the first.
    """
    day += timedelta(days=minutes // DAY)  # by the calendar: a day may have 23 or 25 hours
    return int(day.replace(hour=minutes % DAY // 60, minute=minutes % 60, fold=0).timestamp() * 1000)


def moment_text(ms: int, at: int, zone: tzinfo | None) -> str:
    """A moment in words, as seen at the moment `at`; both in ms.

    "14:10" on the same day, "Fri 08:00" in the same week, from Monday on, else "Mon 7 Dec 08:00", and in another year
    "Mon 4 Jan 2027 08:00".
    """
    moment, seen = date_of(ms, zone), date_of(at, zone)
    if moment.date() == seen.date():
        return f"{moment:%H:%M}"
    day = DAYS[moment.weekday()].capitalize()
    same_week = moment.isocalendar()[:2] == seen.isocalendar()[:2]
    date = "" if same_week else f" {moment.day} {MONTHS[moment.month - 1]}"
    year = "" if same_week or moment.year == seen.year else f" {moment.year}"
    return f"{day}{date}{year} {moment:%H:%M}"
