"""What should have rung where and when, reckoned without the program: from the tables below and who knew what when.

A clock rings, on a device, at the latest of its moments that has come by the device's own idea of the time, if its
start is known there and neither its end nor the hearing of that ring is. In quiet hours most of them wait.
"""

from itertools import accumulate, chain, repeat, takewhile
from math import inf

from alerts.month.builds import COLD_BELOW, COLD_MS, WARM_MS
from benchbell.durations import HOUR_MS, MINUTE_MS

DAY = 24 * HOUR_MS

LONGEST = 60 * 24 * 60
"""Minutes: no month of ours is longer."""

RAGS = takewhile(lambda minutes: minutes < LONGEST, accumulate(chain((20, 30, 60, 120), repeat(240))))
"""20 minutes after the coat, then half an hour, one, two and four hours later, then every four, until they are safe."""

# From the wishes for the alarms: open time at half, two minutes, thirty seconds and over; pot life two minutes
# before; clamps, rest, cure once; wiping and the next coat with their window; rags until they are safe.
STAGES = {
    "open": (("half", 5), ("two-minutes", 8), ("last", 9.5), ("over", 10)),
    "pot": (("two-minutes", 18), ("over", 20)),
    "squeeze-out": (("pare", 20),),
    "in-clamps": (("off", None),),
    "rest": (("rested", 24 * 60),),
    "wipe-off": (("wipe", 5), ("over", 20)),
    "recoat": (("recoat", 12 * 60), ("closing", 71 * 60), ("over", 72 * 60)),
    "cure": (("cured", 14 * 24 * 60),),
    "rags": tuple((f"again-{n}" if n else "rags", minutes) for n, minutes in enumerate(RAGS)),
}
STARTS = {
    "open": "glue-on", "pot": "mixed", "squeeze-out": "clamped", "in-clamps": "clamped", "rest": "clamped",
    "wipe-off": "coat-on", "recoat": "coat-on", "cure": "coat-on", "rags": "coat-on",
}  # fmt: skip
ENDS = {
    "open": {"clamped"}, "pot": {"clamped"}, "squeeze-out": {"pared", "clamps-off"}, "in-clamps": {"clamps-off"},
    "wipe-off": {"wiped-off"}, "rags": {"rags-safe"},
}  # fmt: skip
MUST_FOLLOW = {
    "clamped": ("glue-on",), "pared": ("glue-on", "clamped"), "clamps-off": ("glue-on", "clamped"),
    "wiped-off": ("coat-on",), "rags-safe": ("coat-on",),
}  # fmt: skip
GLUE = ("open", "pot", "squeeze-out", "in-clamps", "rest")
COAT = ("wipe-off", "recoat", "cure", "rags")


CANNOT_WAIT = {"open", "pot", "wipe-off", "rags"}
ZONE_AHEAD = 2 * HOUR_MS
"""The zone of the month's quiet hours, Etc/GMT-2, whose name has its sign the other way round (IANA, file etcetera)."""


def heard_at(kept, clock, at):
    """When what is due at `at` is heard under quiet hours as kept: {"from": "HH:MM", "to": "HH:MM"}."""
    if kept is None or clock in CANNOT_WAIT:
        return at
    begins, ends = (int(kept[name][:2]) * HOUR_MS + int(kept[name][3:]) * MINUTE_MS for name in ("from", "to"))
    day = (at + ZONE_AHEAD) // DAY * DAY
    civil = at + ZONE_AHEAD - day
    is_quiet = begins <= civil < ends if begins < ends else civil >= begins or civil < ends
    return day + ends - ZONE_AHEAD + (DAY if civil >= ends else 0) if is_quiet else at


def kind_of(happening):
    return happening.what.__struct_config__.tag


class Facts:
    """All happenings of one operation, those of the second coat it waits for, the air, and the quiet hours as kept."""

    def __init__(self, own, seconds, undoings, airs, kept):
        self.own, self.undoings, self.kept = own, undoings, sorted(kept, key=lambda h: h.at)
        self.airs = sorted(airs, key=lambda h: h.at)
        happened = [(h, kind_of(h)) for h in own] + [(h, "second") for h in seconds]
        self.happened = sorted(happened, key=lambda row: (row[0].at, row[0].id))

    def stages(self):
        """Every moment, in server time, at which a stage of any of its clocks may come, or a reading counts."""
        kinds = [kind for kind, start in STARTS.items() if any(kind_of(h) == start for h in self.own)]
        after = {round(m * MINUTE_MS) for kind in kinds for _, m in STAGES[kind] if m is not None} | {WARM_MS, COLD_MS}
        longer = range(0, sum(h.what.by_ms for h in self.own if kind_of(h) == "lengthened") + 1, 10 * MINUTE_MS)
        starts = {h.at.ms for h in self.own if kind_of(h) in STARTS.values()}
        due = {start + a + more for start in starts for a in after for more in longer}
        heard = {heard_at(h.what.value, "", at) for h in self.kept for at in due}
        return due | heard | {h.at.ms for h in self.airs}

    def known(self, learnt, t):
        """What is known at `t` and was not undone, by kind, earliest first."""
        undone = set()
        for u in sorted(self.undoings, key=lambda h: h.at, reverse=True):  # an undone undoing undoes nothing
            if learnt.get(u.id, inf) <= t and u.id not in undone:
                undone.add(u.what.happening)
        happened = {}
        for h, kind in self.happened:
            if learnt.get(h.id, inf) <= t and h.id not in undone:
                happened.setdefault(kind, []).append(h)
        return happened


def marks_of(happened):
    """The latest of each kind, where it stands after what it must follow."""
    latest = {kind: known[-1] for kind, known in happened.items()}
    for kind, before in MUST_FOLLOW.items():
        if kind in latest and any(b in latest and latest[kind].at < latest[b].at for b in before):
            del latest[kind]
    return latest


def in_clamps_ms(start, airs):
    """The time in clamps by the coldest air until it is over; readings are known ones up to now, earliest first.

    Of a reading from more than 12 hours before, and the planned time, the longer; until somebody reads the air again.
    """
    before = [h for h in airs if h.at.ms <= start]
    coldest = before[-1].what.celsius if before else None
    old = bool(before) and before[-1].at.ms < start - 12 * HOUR_MS
    for h in airs:
        needed = COLD_MS if coldest is not None and coldest < COLD_BELOW else WARM_MS
        if start < h.at.ms < start + needed:
            coldest = h.what.celsius if coldest is None or old else min(coldest, h.what.celsius)
            old = False
    return COLD_MS if coldest is not None and coldest < COLD_BELOW else WARM_MS


def moments(clock, start, happened, airs):
    """(stage, moment) of a clock that began at `start`."""
    added = sum(h.what.by_ms for h in happened.get("lengthened", ()) if h.what.clock == clock and h.at > start)
    for stage, minutes in STAGES[clock]:
        after = in_clamps_ms(start.ms, airs) if minutes is None else round(minutes * MINUTE_MS)
        yield stage, start.ms + after + added


def ringing(clock, happened, airs, kept, now):
    """The key's end of what should ring, and since when it is to be heard; None where nothing should."""
    marks = marks_of(happened)
    if STARTS[clock] not in marks:
        return None
    start = marks[STARTS[clock]].at
    ended = any(kind in marks and marks[kind].at.ms >= start.ms for kind in ENDS.get(clock, ()))
    if ended or (clock == "recoat" and "second" in happened):
        return None
    heard_from = ((stage, heard_at(kept, clock, at)) for stage, at in moments(clock, start, happened, airs))
    passed = [(stage, at) for stage, at in heard_from if at <= now]
    longer = max((h.at for h in happened.get("lengthened", ()) if h.what.clock == clock), default=None)
    heard = {h.what.ring for h in happened.get("acknowledged", ()) if longer is None or h.at > longer}
    name = f"{clock}|{passed[-1][0]}|{start.ms}" if passed else None
    return None if name is None or name in heard else (name, passed[-1][1])


class Observer:
    """A phone or the server: what it had learnt when, when it was awake, how far off its clock was."""

    def __init__(self, one, awake):
        self.learnt, self.awake, self.error = one.learnt, awake, one.error

    def moments(self, facts, horizon):
        """Every true moment at which what rings may change: it learns something, it wakes, a stage comes."""
        relevant = [h for h, _ in facts.happened] + facts.undoings + facts.airs + facts.kept
        changes = {self.learnt[h.id] for h in relevant if h.id in self.learnt}
        changes |= {t for t in self.error.times if t > -inf}
        changes |= {t for at in facts.stages() for t in self.true_moments(at)}
        awake = (self.awake.first(t, True) for t in changes if t <= horizon)
        return sorted({t for t in awake if t is not None and t <= horizon})

    def true_moments(self, at):
        """When its idea of the time is `at`: once, or more often where its clock was set back."""
        ends = [*self.error.times[1:], inf]
        found = (max(begin, at - error) for begin, error in zip(self.error.times, self.error.values, strict=True))
        return {t for t, end in zip(found, ends, strict=True) if t < end}

    def rings(self, clocks, facts, horizon):
        """By clock: (moment, ring's name or None, since) whenever that changes."""
        changes = {clock: [] for clock in clocks}
        for t in self.moments(facts, horizon):
            now = t + self.error.at(t)
            airs = [h for h in facts.airs if self.learnt.get(h.id, inf) <= t and h.at.ms <= now]
            kept = next((h.what.value for h in reversed(facts.kept) if self.learnt.get(h.id, inf) <= t), None)
            happened = facts.known(self.learnt, t)
            for clock, known in changes.items():
                rings = ringing(clock, happened, airs, kept, now) or (None, None)
                if not known or known[-1][1:] != rings:
                    known.append((t, *rings))
        return changes
