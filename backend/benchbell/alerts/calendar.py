"""Clocks as calendar entries with alarms (RFC 5545), for when the page is closed and there is no network.

Each clock has one entry. Its UID never changes; SEQUENCE goes up whenever anything else of it changes. When the clock
ends or is undone, the entry is cancelled and does not ring. Moments are rounded up to whole seconds: never early.

A phone makes the same entry by itself, to be saved where there is no network: UID and words are the same, and SEQUENCE
counts at least the seconds since the clock started, so that of two versions the later one has the higher number,
whichever of the two made it. Twin: pwa/src/alerts/calendar.ts.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from uuid import NAMESPACE_URL, uuid5

import icalendar
from msgspec import Struct

from benchbell.alerts.quiet import moment
from benchbell.alerts.schedule import Alarm, Running
from benchbell.alerts.words import plain, title_of
from benchbell.bench.clock_kinds import CLOCK_KINDS, ring_text
from benchbell.bench.clocks import Clock
from benchbell.bench.clocks import moment as next_moment
from benchbell.bench.server_clock import SET_TEXTS
from benchbell.durations import DAY_MS

PRODUCT = "-//Benchbell//Clocks//EN"
DEFAULT_LENGTH = timedelta(minutes=15)
"""How long an entry appears in the calendar when its clock gives no end."""

CANCELLED_FOR_MS = 30 * DAY_MS
"""How long a cancelled entry stays in the feed, so that a calendar that was offline gets the cancellation."""

LABEL_FIRST = "The glue's label, the finish's label and the tool maker's manual come first."


class Entry(Struct, frozen=True):
    """What an entry says of its clock, which build, operation and kind name. starts, ends: seconds since 1970 UTC.

    alarms: each in seconds after `starts` (negative for before), with a title. started: of the clock, ms; 0 in an
    entry that an older version published.
    """

    uid: str
    build: str
    operation: str
    kind: str
    title: str
    text: str
    starts: int
    ends: int
    alarms: tuple[tuple[int, str], ...]
    started: int = 0


class PublishedEntry(Struct, frozen=True):
    """An entry as last published. sequence: its SEQUENCE. changed_ms: when it last changed."""

    entry: Entry
    sequence: int
    changed_ms: int
    cancelled: bool = False


def whole_seconds(ms: int) -> int:
    """Milliseconds as whole seconds, rounded up."""
    return -(-ms // 1000)


def uid_of(build: str, operation: str, kind: str, stamp: int) -> str:
    """The UID of a clock's entry, the same after every restart (RFC 9562, version 5). stamp: the clock's."""
    return str(uuid5(NAMESPACE_URL, f"benchbell:{build}|{operation}|{kind}|{stamp}"))


def least_sequence(started: int, now: int) -> int:
    """The least SEQUENCE of what is told at `now` of a clock: whole seconds since it started. Both in ms."""
    return max(0, (now - started) // 1000)


def entry_of(running: Running, alarms: Sequence[Alarm]) -> Entry:
    """The entry of a running clock. alarms: all rings of this clock; acknowledged ones get no calendar alarm."""
    clock = running.clock
    starts, ends = span_of(clock)
    shown = alarms[-1] if clock.least is None else first_after_wait(clock, alarms)
    said = ring_text(clock.kind, shown.stage, shown.unclamped)
    return Entry(
        uid=uid_of(running.build, running.op.id, clock.kind, clock.stamp),
        build=running.build,
        operation=running.op.id,
        kind=clock.kind,
        title=plain(f"{said.title}: {title_of(running.op)}"),
        text="\n".join(plain(line) for line in lines_of(running, said.text, CLOCK_KINDS[clock.kind].cautions)),
        starts=starts,
        ends=ends,
        alarms=tuple(
            (whole_seconds(alarm.at) - starts, plain(f"{title_said(alarm)}: {alarm.title}"))
            for alarm in alarms
            if not alarm.heard
        ),
        started=clock.started,
    )


def title_said(alarm: Alarm) -> str:
    """What a ring says for a glance."""
    return ring_text(alarm.kind, alarm.stage, alarm.unclamped).title


def first_after_wait(clock: Clock, alarms: Sequence[Alarm]) -> Alarm:
    """The ring at the end of the clock's wait."""
    return next(alarm for alarm in alarms if alarm.due == clock.least)


def span_of(clock: Clock) -> tuple[int, int]:
    """Start and end of the entry, in seconds since 1970: the clock's window, or DEFAULT_LENGTH where it has none."""
    starts = whole_seconds(clock.least if clock.least is not None else next_moment(clock))
    window = whole_seconds(clock.most) if clock.least is not None and clock.most is not None else starts
    return starts, window if window > starts else starts + int(DEFAULT_LENGTH.total_seconds())


def lines_of(running: Running, text: str, cautions: Iterable[str]) -> list[str]:
    """The entry's description, line by line: what to do, the build, the time's source, the cautions."""
    said = [running.cautions[id] for id in cautions if id in running.cautions]
    remark = SET_TEXTS.get(running.clock.server_clock)
    return [text, *([remark] if remark else []), running.name, f"Time: {running.source}.", *said, LABEL_FIRST]


def revised(kept: Mapping[str, PublishedEntry], entries: Iterable[Entry], now: int) -> list[PublishedEntry]:
    """What is to be published: new and changed entries, and cancellations of those whose clock ended. now: ms.

    kept: by UID, what was published last.
    """
    running = {entry.uid: entry for entry in entries}
    changed = [next_version(kept.get(uid), entry, now) for uid, entry in running.items()]
    ended = [
        PublishedEntry(old.entry, next_sequence(old, now), now, cancelled=True)
        for uid, old in kept.items()
        if uid not in running and not old.cancelled
    ]
    return [new for new in changed if new != kept.get(new.entry.uid)] + ended


def next_version(old: PublishedEntry | None, entry: Entry, now: int) -> PublishedEntry:
    """The entry with its next sequence number; `old` where nothing changed."""
    if old is None:
        return PublishedEntry(entry, least_sequence(entry.started, now), now)
    return old if old.entry == entry and not old.cancelled else PublishedEntry(entry, next_sequence(old, now), now)


def next_sequence(old: PublishedEntry, now: int) -> int:
    """The SEQUENCE of the version that takes its place at `now` (ms)."""
    return max(old.sequence + 1, least_sequence(old.entry.started or now, now))


def outdated(kept: Iterable[PublishedEntry], now: int) -> list[str]:
    """UIDs of entries that were cancelled more than CANCELLED_FOR_MS ago."""
    return [old.entry.uid for old in kept if old.cancelled and old.changed_ms < now - CANCELLED_FOR_MS]


def calendar(kept: Iterable[PublishedEntry]) -> bytes:
    """The entries as one iCalendar stream. The same entries give the same bytes."""
    stream = icalendar.Calendar()
    stream.add("prodid", PRODUCT)
    stream.add("version", "2.0")
    stream.add("name", "Benchbell")
    stream.add("x-wr-calname", "Benchbell")
    stream.add("refresh-interval", timedelta(minutes=15), parameters={"value": "DURATION"})
    for one in sorted(kept, key=lambda k: (k.entry.starts, k.entry.uid)):
        stream.add_component(event(one))
    body: bytes = stream.to_ical()
    return body


def event(kept: PublishedEntry) -> icalendar.Event:
    """One entry as a VEVENT."""
    entry, changed = kept.entry, moment(kept.changed_ms).replace(microsecond=0)
    made = icalendar.Event()
    made.add("uid", entry.uid)
    made.add("dtstamp", changed)
    made.add("last-modified", changed)
    made.add("sequence", kept.sequence)
    made.add("dtstart", at_second(entry.starts))
    made.add("dtend", at_second(entry.ends))
    made.add("summary", entry.title)
    made.add("description", entry.text)
    made.add("status", "CANCELLED" if kept.cancelled else "CONFIRMED")
    made.add("transp", "TRANSPARENT")
    made.add("class", "PRIVATE")
    for after, title in () if kept.cancelled else entry.alarms:
        made.add_component(alarm(after, title))
    return made


def alarm(after: int, title: str) -> icalendar.Alarm:
    """A VALARM `after` seconds after the entry's start, of the kind DISPLAY, which every calendar supports."""
    made = icalendar.Alarm()
    made.add("action", "DISPLAY")
    made.add("trigger", timedelta(seconds=after))
    made.add("description", title)
    return made


def at_second(s: int) -> datetime:
    """A moment in UTC. s: seconds since 1970."""
    return moment(s * 1000)
