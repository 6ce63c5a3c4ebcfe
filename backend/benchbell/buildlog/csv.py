"""A build's log as CSV (RFC 4180): one row a happening, or one row an operation.

zone: in which moments are told; None for that of the machine.
"""

import csv
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, tzinfo
from io import StringIO

from benchbell.buildlog.story import BuildLog

STORY = ("when", "who", "what", "text", "about", "undone", "photo")
OPERATIONS = (
    "operation", "piece", "title", "station", "status", "began", "finished", "planned_minutes", "hands_minutes",
    "glue_or_finish", "celsius", "humidity_percent", "planned_clamp_minutes", "clamp_minutes",
)  # fmt: skip


def story_csv(log: BuildLog, zone: tzinfo | None) -> str:
    """The story, a row a happening."""
    rows = (
        (moment(e.ms, zone), e.who, e.kind, e.text, " ".join(e.about), "undone" if e.undone else "", e.photo)
        for e in log.entries
    )
    return table(STORY, rows)


def operations_csv(log: BuildLog, zone: tzinfo | None) -> str:
    """The operations, planned beside real; empty where nothing was recorded."""
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
    """Rows under their heads. A cell that a spreadsheet would take for a formula begins with an apostrophe."""
    text = StringIO()
    writer = csv.writer(text)
    writer.writerow(head)
    writer.writerows([[harmless(cell) for cell in row] for row in rows])
    return text.getvalue()


def harmless(cell: str) -> str:
    """A cell as text, whatever it begins with; numbers stay as they are."""
    if cell[:1] in ("=", "+", "-", "@", "\t", "\r") and not is_number(cell):
        return f"'{cell}"
    return cell


def is_number(cell: str) -> bool:
    """Whether a cell is nothing but a number."""
    try:
        float(cell)
    except ValueError:
        return False
    return True


def moment(ms: int | None, zone: tzinfo | None) -> str:
    """A moment in ISO 8601 with its offset; empty when not recorded."""
    return "" if ms is None else datetime.fromtimestamp(ms / 1000, UTC).astimezone(zone).isoformat(timespec="seconds")


def figure(value: float | None) -> str:
    """A figure to two decimals; empty when not recorded."""
    return "" if value is None else f"{value:.2f}".rstrip("0").rstrip(".")
