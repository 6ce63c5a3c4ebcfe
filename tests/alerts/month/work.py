"""What the maker does in a month: when which operation gets its glue, clamps, coats, and what is forgotten."""

from alerts.month.builds import sheet_of
from alerts.sample import STARTED
from benchbell.bench.happenings import (
    SHOP,
    Clamped,
    ClampsOff,
    CoatOn,
    Conditions,
    GlueOn,
    Kept,
    Mixed,
    Pared,
    RagsSafe,
    WipedOff,
)
from benchbell.durations import HOUR_MS, MINUTE_MS
from msgspec.structs import replace

DAY = 24 * HOUR_MS
GLUES, COATS = 12, 6
"""In each build."""

QUIETS = [{"from": start, "to": end, "zone": "Etc/GMT-2"} for start, end in (("21:00", "07:00"), ("12:45", "15:30"))]
"""Quiet hours: by night in the first half, over noon in the second."""


def month_of(chance, start, days, builds):
    """(moment, build, what) of everything, in order: each build has its days, all of them overlap."""
    planned = []
    for number in range(builds):
        build = f"01980000-0000-7000-8000-{number:012x}"
        first = start + round(days * DAY * number / builds)
        planned.append((first, build, replace(STARTED, sheet=sheet_of(GLUES, COATS), name=f"Build {number}")))
        last = min(first + 5 * DAY, start + days * DAY - HOUR_MS)
        for n in range(GLUES):
            planned += [(t, build, what) for t, what in glued(chance, in_hours(chance, first, last), f"glue-{n}")]
        for n in range(COATS):
            planned += [(t, build, what) for t, what in coated(chance, in_hours(chance, first, last), n)]
    planned += [
        (t, SHOP, Conditions(round(chance.uniform(9, 24), 1), None))
        for t in range(start, start + days * DAY, 3 * HOUR_MS)
    ]
    half = start + round(days * DAY / 2)
    planned += [(start + MINUTE_MS, SHOP, Kept("quiet", QUIETS[0])), (half, SHOP, Kept("quiet", QUIETS[1]))]
    return sorted(planned, key=lambda row: row[0])


def in_hours(chance, first, last):
    """A moment between 7 and 18 o'clock."""
    day = chance.randrange(max(1, -(-(last - first) // DAY)))
    return first - first % DAY + day * DAY + round(chance.uniform(7, 18) * HOUR_MS) + DAY * (day == 0)


def after(chance, t, least, most):
    """So many minutes later, to the millisecond."""
    return t + round(chance.uniform(least, most) * MINUTE_MS)


def glued(chance, t, id):
    """A glue-up: sometimes mixed, sometimes too slow, sometimes its clamps stay on for good."""
    if chance.random() < 0.3:
        yield t, Mixed(id)
        t = after(chance, t, 0.5, 3)
    yield t, GlueOn(id)
    clamped = after(chance, t, 2, 14)
    yield clamped, Clamped(id)
    if chance.random() < 0.03:
        clamped = after(chance, clamped, 1, 3)
        yield clamped, Clamped(id)  # set anew, or told by a second phone
    if chance.random() < 0.7:
        yield after(chance, clamped, 15, 50), Pared(id)
    if chance.random() < 0.95:
        yield after(chance, clamped, 45, 200), ClampsOff(id)


def coated(chance, t, n):
    """A surface coated twice: rags dealt with sooner or later, or never."""
    yield t, CoatOn(f"coat-{n}")
    if chance.random() < 0.95:
        yield after(chance, t, 4, 25), WipedOff(f"coat-{n}")
    if chance.random() < 0.95:
        yield after(chance, t, 5, 300), RagsSafe(f"coat-{n}")
    if chance.random() < 0.8:
        yield after(chance, t, 11 * 60, 75 * 60), CoatOn(f"second-{n}")
