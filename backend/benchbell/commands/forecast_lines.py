"""A forecast in words, no finer than it is: the hour today, half a day this week, a date beyond."""

from datetime import datetime

from benchbell.durations import DAY_MS, MINUTE_MS
from benchbell.findings import counted
from benchbell.moments import date_of
from benchbell.plan.report.messages import Forecast
from benchbell.plan.report.odds_words import BY, KEPT, basis
from benchbell.planner.shop_hours import DAYS, MONTHS

QUARTER_MS = 15 * MINUTE_MS

NOON, EVENING = 12 * 60, 17 * 60
"""Minutes after midnight up to which it is morning, then afternoon; both ends belong to what they end."""


def forecast_line(forecast: Forecast, now: int) -> str:
    """One build's forecast, as seen at `now` (ms): the likely moment first, and the plan's own as what it is."""
    likely, latest, planned = (roughly(ms, now) for ms in (forecast.likely, forecast.latest, forecast.finish))
    by = f"{BY[basis(forecast.timed)]} {latest}"
    done = f"likely {likely}, {by}" if likely != latest else by
    as_planned = f"; if all goes as planned, {planned}" if planned != likely else ""
    sentences = (f"{forecast.name}: {done}{as_planned}.", promised(forecast, now), rests_on(forecast.timed))
    return " ".join(filter(None, sentences))


def promised(forecast: Forecast, now: int) -> str:
    """What comes of a promise, "" where none was made."""
    if forecast.due is None or forecast.odds is None:
        return ""
    odds, day = forecast.odds, "today" if is_same_day(forecast.due, now) else day_in_words(forecast.due, now)
    kept = next(words for least, words in KEPT[basis(forecast.timed)] if odds >= least)
    count = f", {odds} of 10" if 0 < odds < 10 else ""
    return f"Promised for {day}: {kept}{count}."


def rests_on(timed: int) -> str:
    """What a forecast rests on."""
    return f"From {counted(timed, 'timed operation')}." if timed else "A rough guess: nothing has been timed yet."


def roughly(ms: int, now: int) -> str:
    """A moment as exactly as anybody can know it: "16:15" today, "Tue morning" this week, else "Tue 15 Dec"."""
    if is_same_day(ms, now):
        return f"{date_of(-(-ms // QUARTER_MS) * QUARTER_MS, None):%H:%M}"
    day = day_in_words(ms, now)
    return f"{day} {part_of_day(date_of(ms, None))}" if is_near(ms, now) else day


def day_in_words(ms: int, now: int) -> str:
    """The day of a moment: "Tue" within six days, else "Tue 15 Dec", with the year where that is another."""
    date, seen = date_of(ms, None), date_of(now, None)
    day = DAYS[date.weekday()].capitalize()
    if is_near(ms, now):
        return day
    return f"{day} {date.day} {MONTHS[date.month - 1]}" + (f" {date.year}" if date.year != seen.year else "")


def is_near(ms: int, now: int) -> bool:
    """Whether the weekday says which day it is."""
    return abs(ms - now) < 6 * DAY_MS


def is_same_day(ms: int, other: int) -> bool:
    """Whether both fall on one day by this machine's time."""
    return date_of(ms, None).date() == date_of(other, None).date()


def part_of_day(moment: datetime) -> str:
    """Morning, afternoon or evening."""
    minutes = 60 * moment.hour + moment.minute
    return "morning" if minutes <= NOON else "afternoon" if minutes <= EVENING else "evening"
