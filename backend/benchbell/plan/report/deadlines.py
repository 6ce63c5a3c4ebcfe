"""By when an operation has to start because something must not wait longer: maximal lags and latest starts."""

from msgspec import Struct

from benchbell.plan.model.problem import Placed
from benchbell.plan.report.timeline import Timeline


class Deadline(Struct, frozen=True):
    """A start after minute `by` is an overrun. before: the operation that must not wait longer, "" for a clock."""

    by: int
    before: str


def deadline(one: Placed, t: Timeline) -> Deadline | None:
    """The earliest deadline of the operation; None without one, or where the next day would still be in time."""
    found = [Deadline(t.at[x.before].free + x.most, x.before) for x in t.coming[one.op] if x.most is not None]
    latest = t.ops[one.op].by
    if latest is not None:
        found.append(Deadline(latest, ""))
    first = min(found, key=lambda it: it.by, default=None)
    return first if first and first.by < t.next_day(one.start) else None
