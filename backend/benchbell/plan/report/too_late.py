"""Which waits of a plan last longer than they may."""

from benchbell.plan.report.context import Context
from benchbell.plan.report.waits_in_words import title


def too_late(c: Context) -> tuple[str, ...]:
    """The tasks after which something waits too long, or that begin too late themselves, by title, each once."""
    t = c.t
    found = [
        title(link.before, c.tasks) for link in t.problem.links if is_missed(link.before, link.after, link.most, c)
    ]
    found += [title(id, c.tasks) for id, op in t.ops.items() if op.by is not None and t.at[id].start > op.by]
    return tuple(dict.fromkeys(found))


def is_missed(before: str, after: str, most: int | None, c: Context) -> bool:
    """True if what follows begins more than `most` minutes after it."""
    return most is not None and c.t.at[after].start > c.t.at[before].free + most
