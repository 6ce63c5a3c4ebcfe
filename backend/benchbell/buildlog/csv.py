"""A build's log as CSV (RFC 4180): one row for each happening, or one row for each operation.

zone: the time zone of all times; None for this machine's.
"""

import csv
from collections.abc import Iterable, Sequence
from datetime import tzinfo
from io import StringIO

from benchbell.buildlog.story import BuildLog
from benchbell.moments import date_of

STORY = ("when", "who", "what", "text", "about", "undone", "photo")
OPERATIONS = (
    "operation", "piece", "title", "station", "status", "began", "finished", "planned_minutes", "hands_minutes",
    "glue_or_finish", "celsius", "humidity_percent", "planned_clamp_minutes", "clamp_minutes",
)  # fmt: skip


def story_csv(log: BuildLog, zone: tzinfo | None) -> str:
    """The log's entries: one row for each happening."""
    rows = (
        (moment(e.ms, zone), e.who, e.kind, e.text, " ".join(e.about), "undone" if e.undone else "", e.photo)
        for e in log.entries
    )
    return table(STORY, rows)


def operations_csv(log: BuildLog, zone: tzinfo | None) -> str:
    """The operations with planned and actual times; a cell is empty where nothing was recorded."""
    rows = (
        (
            op.id, op.piece, op.title, op.station, op.status, moment(op.began_ms, zone), moment(op.finished_ms, zone),
            figure(op.planned_minutes), figure(op.hands_minutes), op.glue, figure(op.celsius), figure(op.humidity),
            figure(op.planned_clamp_minutes), figure(op.clamp_minutes),
        )
        for op in log.operations
    )  # fmt: skip
    return table(OPERATIONS, rows)


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A CSV table. A cell that a spreadsheet would read as a formula gets an apostrophe in front."""
    text = StringIO()
    writer = csv.writer(text)
    writer.writerow(head)
    writer.writerows([[escaped(cell) for cell in row] for row in rows])
    return text.getvalue()


def escaped(cell: str) -> str:
    """A cell that no spreadsheet reads as a formula. Numbers stay as they are."""
    if cell[:1] in ("=", "+", "-", "@", "\t", "\r") and not is_number(cell):
        return f"'{cell}"
    return cell


def is_number(cell: str) -> bool:
    """Whether a cell is a number."""
    try:
        float(cell)
    except ValueError:
        return False
    return True


def moment(ms: int | None, zone: tzinfo | None) -> str:
    """Milliseconds since 1970 in ISO 8601 with the zone's offset; "" when not recorded."""
    return "" if ms is None else date_of(ms, zone).isoformat(timespec="seconds")


def figure(value: float | None) -> str:
    """A number to two decimals; "" when not recorded."""
    return "" if value is None else f"{value:.2f}".rstrip("0").rstrip(".")
