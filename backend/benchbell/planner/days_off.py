"""Days off: dates on which the shop is closed, or somebody is away."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from msgspec import Struct

from benchbell.findings import Refused

LONGEST = timedelta(days=366)
"""Nobody plans beyond a year without work; a longer one is a slip in the year."""

MOST = 100
"""More days off than a shop names; so many are read at each plan."""

YEARS = range(1970, 9000)
"""Years that datetime can convert on every machine, with room for the plan after the last."""

NEXT_STEP = "Write dates like 2026-12-24, the first one first."


class DaysOff(Struct, frozen=True):
    """Dates from `first` to `last`, both included, by the shop's calendar. name: why, "" where nobody said."""

    first: date
    last: date
    name: str = ""


def read_days_off(value: Any) -> tuple[DaysOff, ...]:
    """The setting "closed", or somebody's "away": a list of {from, to, name}; `to` and `name` may be left out.

    None is no days off. Raises Refused when it is no such list, a date is none, or the days are in the wrong order or
    too many.
    """
    if value is None:
        return ()
    if not isinstance(value, Sequence) or isinstance(value, str) or len(value) > MOST:
        raise Refused(f"The days off are {value!r:.80}, and not a list of at most {MOST}.", NEXT_STEP)
    return tuple(map(read_one, value))


def read_one(value: Any) -> DaysOff:
    """One of the days off. Raises Refused as `read_days_off` does."""
    if not isinstance(value, Mapping):
        raise Refused(f"A day off is {value!r:.80}, and has no date.", NEXT_STEP)
    first = date_in(value.get("from"))
    last = date_in(value.get("to") or value.get("from"))
    if last < first:
        raise Refused(f"Days off from {first} to {last} end before they begin.", NEXT_STEP)
    if last - first > LONGEST:
        raise Refused(f"Days off from {first} to {last} are more than a year.", "Correct the year.")
    name = value.get("name")
    return DaysOff(first, last, name if isinstance(name, str) else "")


def date_in(text: Any) -> date:
    """A date written like 2026-12-24. Raises Refused where it is none."""
    try:
        found = date.fromisoformat(text)
    except (TypeError, ValueError) as error:
        raise Refused(f"{text!r:.40} is not a date.", NEXT_STEP) from error
    if found.year not in YEARS:
        raise Refused(f"{found} is too far away.", "Correct the year.")
    return found


def is_off(day: date, off: Sequence[DaysOff]) -> bool:
    """Whether the date is one of the days off."""
    return any(one.first <= day <= one.last for one in off)
