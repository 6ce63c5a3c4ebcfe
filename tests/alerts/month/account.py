"""The month's account: what rang early, what was missed, what was doubled."""

from collections import Counter
from itertools import pairwise
from math import inf

from alerts.month.expected import COAT, GLUE, Facts, Observer, heard_at, kind_of, moments
from alerts.month.work import QUIETS
from benchbell.bench.happenings import SHOP
from benchbell.durations import HOUR_MS

MEASURED_MS = 200
"""How well a phone knows the server's time after a sync."""

SOON_MS = 1000
"""The page looks at the clock more often than this."""

PUSHED_MS = 75_000
"""A push is tried again after a minute at the latest; a 20 s wait asked for may come before it."""


def all_facts(happened):
    """By (build, operation), what happened to it."""
    airs = [h for h in happened if kind_of(h) == "conditions"]
    kept = [h for h in happened if kind_of(h) == "kept"]
    undoings = [h for h in happened if kind_of(h) == "undone"]
    own = {}
    for h in happened:
        if h.build != SHOP and hasattr(h.what, "operation"):
            own.setdefault((h.build, h.what.operation), []).append(h)
    for (build, operation), happened in own.items():
        if not operation.startswith("second"):
            seconds = own.get((build, operation.replace("coat", "second")), []) if "coat" in operation else []
            ids = {h.id for h in happened + seconds}
            near = [a for a in airs if any(abs(a.at.ms - h.at.ms) < 15 * HOUR_MS for h in happened)]
            yield build, operation, Facts(happened, seconds, chain(undoings, ids), near, kept)


def chain(undoings, ids):
    """Those that undo one of these, or undo such an undoing, and so on."""
    found = [u for u in undoings if u.what.happening in ids]
    return found + chain(undoings, {u.id for u in found}) if found else []


def clocks_of(operation):
    """The kinds of clock that may run on it."""
    return COAT if operation.startswith("coat") else GLUE


class Account:
    """early, missed, doubled: lists of what went wrong, each with its ring. counts: how much there was of what."""

    def __init__(self, world):
        self.world = world
        self.early, self.missed, self.doubled = [], [], []
        self.counts = Counter()
        self.quiet_ends = {
            heard_at(quiet, "rest", t) for quiet in QUIETS for t in range(world.start, world.end, HOUR_MS)
        }
        self.facts = list(all_facts(world.happened.values()))
        for phone in world.phones:
            self.of_phone(phone)
        self.of_server()
        self.of_late_news()

    def of_phone(self, phone):
        """A phone against what it should have rung."""
        observer, wanted = Observer(phone, phone.awake), {}
        for t, key, at in self.expected(observer):
            wanted.setdefault(key, (t, at))
        for key, (t, _) in wanted.items():
            rung = phone.rung.get(key)
            if rung is None or rung[0] > t + SOON_MS:
                self.missed.append((phone.device, key, t, rung))
        for key, (t, by) in phone.rung.items():
            self.counts[f"rung_by_{by}"] += 1
            if by == "page":
                self.counts["kept_back_in_quiet_hours"] += key in wanted and wanted[key][1] in self.quiet_ends
                self.of_ring(phone, key, t, wanted.get(key))

    def expected(self, observer):
        """(moment, key, since) of every ring."""
        for build, operation, facts in self.facts:
            for changes in observer.rings(clocks_of(operation), facts, self.world.end).values():
                yield from ((t, (build, operation, name), at) for t, name, at in changes if name is not None)

    def of_ring(self, phone, key, t, wanted):
        """A ring of the page: due by what the phone knew, and due by the true time, unless its clock was set unseen."""
        if wanted is None or t < wanted[0]:
            self.early.append((phone.device, key, t, wanted))
            return
        if abs(phone.error.at(t)) > MEASURED_MS:
            self.counts["rung_on_a_clock_set_while_asleep"] += 1
        elif t < wanted[1] - MEASURED_MS:
            self.early.append((phone.device, key, t, wanted))

    def of_server(self):
        """Pushes: none before its moment, none left out while there was time, none twice but after a lost answer."""
        server, service = self.world.server, self.world.service
        periods, firsts = {}, {}
        for build, operation, facts in self.facts:
            rings = Observer(server, server.up).rings(clocks_of(operation), facts, self.world.end)
            for changes in rings.values():
                self.counts["clocks"] += len({name.rpartition("|")[2] for _, name, _ in changes if name})
                for (t, name, at), (until, *_) in pairwise([*changes, (self.world.end, None, None)]):
                    if name is not None:
                        key = (build, operation, name)
                        periods.setdefault(key, []).append((t, until))
                        firsts[key] = min(firsts.get(key, (inf, inf)), (t, at))
        accepted = {}
        for message in service.accepted:
            accepted.setdefault((message.device, message.key), []).append(message)
        self.of_pushes(accepted, firsts)
        for phone in self.world.phones[:3]:
            for key, ringing in periods.items():
                if (phone.device, key) not in accepted and any(self.had_time(*period) for period in ringing):
                    self.missed.append((phone.device, key, "push", ringing))

    def of_pushes(self, accepted, firsts):
        """The same for what the push service took."""
        for (device, key), messages in accepted.items():
            self.counts["pushes"] += len(messages)
            first = firsts.get(key)
            if first is None or messages[0].t < first[1] or messages[0].t < first[0]:
                self.early.append((device, key, messages[0].t, first))
            for before, again in pairwise(messages):
                self.counts["pushed_again_after_a_lost_answer"] += not before.answered
                if before.answered or (before.topic, before.tag) != (again.topic, again.tag):
                    self.doubled.append((device, key, before.t, again.t))

    def of_late_news(self):
        """Clamps heard ringing before a colder reading was known that would have kept them on: they ring no more."""
        everything = dict.fromkeys(self.world.happened, 0)
        for _, operation, facts in self.facts:
            known = facts.known(everything, 0)
            if operation.startswith("glue") and "clamped" in known:
                start = known["clamped"][-1].at
                ((_, at),) = moments("in-clamps", start, known, facts.airs)
                heard = [h for h in known.get("acknowledged", ()) if h.what.ring == f"in-clamps|off|{start.ms}"]
                self.counts["clamps_heard_before_colder_air_was_known"] += any(
                    h.at.ms < at - SOON_MS and not known.get("lengthened") for h in heard
                )

    def had_time(self, begin, end):
        """Whether both the server and the push service were there long enough while it rang."""
        changes = {begin, end, *self.world.server.up.times, *self.world.service.up.times}
        inside = sorted(t for t in changes if begin <= t <= end)
        return any(
            b - a > PUSHED_MS and self.world.server.up.at(a) and self.world.service.up.at(a)
            for a, b in pairwise(inside)
        )

    def lines(self):
        """As the speed scripts print."""
        yield from (f"month_{name}: {len(getattr(self, name))}" for name in ("early", "missed", "doubled"))
        yield f"month_happenings: {len(self.world.happened)}"
        yield f"month_server_restarts: {self.world.server.restarts}"
        yield from (f"month_{name}: {count}" for name, count in sorted(self.counts.items()))
