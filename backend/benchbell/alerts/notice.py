"""What a pushed ring tells the page's worker. Needs no library but msgspec, so that the page's types can be made."""

from urllib.parse import quote

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from benchbell.alerts.schedule import Alarm
from benchbell.alerts.words import plain
from benchbell.bench.clock_kinds import ring_text

MOST_BYTES = 3993
"""The longest text that fits one record with its header, tag and delimiter: 4096 - 86 - 16 - 1 (RFC 8291)."""


class Notice(Struct, frozen=True):
    """What the page's worker gets. tag: one a clock, so that a newer ring takes an older one's place.

    about: which operation of which build; text: what to do. at: since when it rings, due: when the clock wanted it,
    sent: when this was made, in server time. ringing: tags of all clocks that ring then, None where they are too many;
    what else stands on the phone was heard, and goes. url: where a tap leads. unclamped: its glue-up takes no clamps.
    """

    title: str
    about: str
    text: str
    tag: str
    build: str
    operation: str
    kind: str
    stage: str
    ring: str
    at: int
    due: int
    sent: int
    ringing: tuple[str, ...] | None
    url: str
    unclamped: bool = False


def message_of(alarm: Alarm, now: int, ringing: tuple[str, ...]) -> bytes:
    """The message of a ring, as JSON. Long names are cut, and a long list is left out, so that it always fits."""
    words = ring_text(alarm.kind, alarm.stage, alarm.unclamped)
    notice = Notice(
        title=words.title,
        about=f"{plain(alarm.title)[:120]} · {plain(alarm.name)[:120]}",
        text=" ".join(filter(None, (words.text, alarm.remark))),
        tag=alarm.clock,
        build=alarm.build,
        operation=alarm.operation,
        kind=alarm.kind,
        stage=alarm.stage,
        ring=alarm.ring,
        at=alarm.at,
        due=alarm.due,
        sent=now,
        ringing=ringing,
        url=f"/b/{quote(alarm.build)}/o/{quote(alarm.operation, safe='')}",
        unclamped=alarm.unclamped,
    )
    message = msgspec.json.encode(notice)
    return message if len(message) <= MOST_BYTES else msgspec.json.encode(replace(notice, ringing=None))
