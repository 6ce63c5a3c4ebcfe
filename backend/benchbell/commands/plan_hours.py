"""When the plan begins and when the shop is open, from the words of a command line, and in words again."""

import time
from collections.abc import Sequence
from datetime import date, datetime
from itertools import pairwise

from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.planner.days_off import DaysOff, read_days_off
from benchbell.planner.shop_hours import DAYS, MONTHS, Week, read_hours

YEARS = range(1970, 9000)
"""Years that datetime can convert on every machine, with room for the plan after the last."""


def moment(when: str) -> int:
    """Local ISO text as ms since 1970, cut to the minute; now for "".

    Raises Refused for text that is not a date and time, and for years outside YEARS.
    """
    if not when:
        return int(time.time()) // 60 * MINUTE_MS
    try:
        asked = datetime.fromisoformat(when)
        if asked.year in YEARS:
            return int(asked.timestamp()) // 60 * MINUTE_MS
    except ValueError as error:
        raise Refused(f"{when!r} is not a date and time.", "Write --start 2026-12-01T08:00.") from error
    raise Refused(f"{when!r} is too far away.", f"Write a year from {YEARS[0]} to {YEARS[-1]}.")


def week(hours: str, days: str) -> Week:
    """The same hours on a run of weekdays, such as mon-fri. Raises Refused for unknown days and wrong hours."""
    first, _, last = days.lower().partition("-")
    if first not in DAYS or (last or first) not in DAYS:
        raise Refused(f"{days!r} are not days.", f"Write --days mon-sat; days are {', '.join(DAYS)}.")
    start, count = DAYS.index(first), (DAYS.index(last or first) - DAYS.index(first)) % 7 + 1
    return read_hours({DAYS[(start + n) % 7]: hours for n in range(count)})


def closed_dates(texts: Sequence[str]) -> tuple[DaysOff, ...]:
    """Dates like 2026-12-24, or from one to another like 2026-12-24..2027-01-01.

    Raises Refused for what is no such dates, in the wrong order, or longer than a year.
    """
    try:
        return read_days_off([from_to(text) for text in texts])
    except Refused as error:
        raise Refused(error.what, "Write --closed 2026-12-24, or --closed 2026-12-24..2027-01-01.") from error


def from_to(text: str) -> dict[str, str]:
    """The first and the last of such dates, as the settings have them; a half one stays whole, and is no date."""
    first, _, last = text.partition("..")
    return {"from": first.strip(), "to": last.strip()} if first and last else {"from": text}


def hours_line(week: Week, closed: Sequence[DaysOff]) -> str:
    """The hours of a plan, the same on each day: "Hours: Mon to Fri 08:00–17:00, no break. Closed Thu 24 Dec."."""
    days = [day for day, spans in zip(DAYS, week, strict=True) if spans]
    off = f" Closed {', '.join(map(dates_in_words, closed))}." if closed else ""
    return f"Hours: {days_in_words(days)} {spans_in_words(week[DAYS.index(days[0])])}.{off}"


def days_in_words(days: Sequence[str]) -> str:
    """As "Mon", "Mon to Fri"; with a gap, or over a weekend, one by one."""
    names = [day.capitalize() for day in days]
    in_a_row = all(DAYS.index(b) == DAYS.index(a) + 1 for a, b in pairwise(days))
    return f"{names[0]} to {names[-1]}" if in_a_row and len(names) > 2 else ", ".join(names)


def spans_in_words(spans: Sequence[tuple[int, int]]) -> str:
    """As "08:00–12:00, 12:30–17:00", or "08:00–17:00, no break"; in minutes after midnight."""
    said = ", ".join(f"{clock(start)}–{clock(end)}" for start, end in spans)
    return f"{said}, no break" if len(spans) == 1 else said


def clock(minutes: int) -> str:
    """Minutes after a midnight as "08:00"."""
    return f"{minutes // 60 % 24:02}:{minutes % 60:02}"


def dates_in_words(off: DaysOff) -> str:
    """As "Thu 24 Dec", or "Thu 24 Dec to Fri 1 Jan"."""
    return date_in_words(off.first) + (f" to {date_in_words(off.last)}" if off.last != off.first else "")


def date_in_words(day: date) -> str:
    """As "Thu 24 Dec"."""
    return f"{DAYS[day.weekday()].capitalize()} {day.day} {MONTHS[day.month - 1]}"
