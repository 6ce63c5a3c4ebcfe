"""Quiet hours: a ring waits until they end, unless its kind of clock rings at any hour."""

import re
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import msgspec
from msgspec import Struct

from benchbell.bench.clock_kinds import CLOCK_KINDS
from benchbell.findings import Refused
from benchbell.moments import LATEST_MS
from benchbell.recipe.sheet import ClockKind

HOURS = re.compile(r"([01]\d|2[0-3]):[0-5]\d")


class Quiet(Struct, frozen=True):
    """From `start` until `end`, both civil time in a zone of the IANA database; over midnight as well."""

    start: time
    end: time
    zone: str


class Written(Struct, frozen=True, rename={"start": "from", "end": "to"}):
    """Quiet hours as the shop keeps them: "21:00" and so on."""

    start: str
    end: str
    zone: str


def read_quiet(value: Any) -> Quiet | None:
    """The shop's setting "quiet": {"from", "to", "zone"}; None where there are no quiet hours. Raises Refused."""
    if value is None:
        return None
    try:
        written = msgspec.convert(value, Written)
        quiet = Quiet(hour(written.start), hour(written.end), written.zone)
        ZoneInfo(quiet.zone)
    except (ValueError, OSError, KeyError) as error:
        raise Refused(
            f"The setting quiet is {value!r:.120}: {error}.",
            'Set it to {"from": "21:00", "to": "07:00", "zone": "Europe/Paris"}; until then everything rings.',
        ) from error
    return None if quiet.start == quiet.end else quiet


def hour(text: str) -> time:
    """Civil time, as "21:00". Raises ValueError."""
    if not HOURS.fullmatch(text):
        raise ValueError(f"{text!r} is no time from 00:00 to 23:59")
    return time.fromisoformat(text)


def rings_at(quiet: Quiet | None, kind: ClockKind, due: int) -> int:
    """When a ring that is due at `due` (server time in ms) is to be heard: then, or when the quiet hours end."""
    if quiet is None or CLOCK_KINDS[kind].any_hour or due >= LATEST_MS or not is_quiet(quiet, due):
        return due
    zone, today = ZoneInfo(quiet.zone), moment(due).astimezone(ZoneInfo(quiet.zone)).date()
    ends = (end_on(today + timedelta(days), quiet.end, zone, fold) for days in (0, 1) for fold in (0, 1))
    return min(end for end in ends if end > due and not is_quiet(quiet, end))


def is_quiet(quiet: Quiet, ms: int) -> bool:
    """Whether the moment is in the quiet hours; their last minute's end is not."""
    civil = moment(ms).astimezone(ZoneInfo(quiet.zone)).time()
    if quiet.start < quiet.end:
        return quiet.start <= civil < quiet.end
    return civil >= quiet.start or civil < quiet.end


def end_on(day: date, end: time, zone: ZoneInfo, fold: int) -> int:
    """The end of quiet hours on that day, in ms. fold: which of the two, where clocks are set back (PEP 495)."""
    return int(datetime.combine(day, end.replace(fold=fold), zone).timestamp()) * 1000


def moment(ms: int) -> datetime:
    """Server time in ms as a moment in UTC."""
    return datetime.fromtimestamp(0, UTC) + timedelta(milliseconds=min(ms, LATEST_MS))
