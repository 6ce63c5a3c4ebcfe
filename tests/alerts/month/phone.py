"""A phone: its clock, its sleep, what it knows, and the page's rule for ringing.

The rule: while the page runs, whatever alerts.schedule says is due at the server's time as this phone knows it, and
was not rung here before, rings. What a push showed while the page slept counts as rung.
"""

import bisect
from math import inf

import msgspec
from benchbell.alerts.quiet import read_quiet
from benchbell.alerts.schedule import alarms_of, due, running_of
from benchbell.bench.book import Book
from benchbell.bench.happenings import SHOP, Happening, Stamp
from benchbell.bench.shop import shop_of


class Steps:
    """A value over time: what it became, and when."""

    def __init__(self, value):
        self.times, self.values = [-inf], [value]

    def set(self, t, value):
        if value != self.values[-1]:
            self.times.append(t)
            self.values.append(value)

    def at(self, t):
        return self.values[bisect.bisect_right(self.times, t) - 1]

    def first(self, t, value):
        """The first moment from `t` on at which it is `value`; None when never again."""
        n = bisect.bisect_right(self.times, t) - 1
        return next((max(t, self.times[k]) for k in range(n, len(self.times)) if self.values[k] == value), None)


class Phone:
    """error: how far off its idea of the server's time is, in ms, true once it has synced: `best_error`."""

    def __init__(self, number, best_error):
        self.device = f"{number:016x}"
        self.best_error = best_error
        self.error = Steps(best_error)
        self.awake = Steps(False)
        self.online = Steps(True)
        self.books = {SHOP: Book()}
        self.readings, self.quiet = (), None
        self.learnt = {}
        self.rung = {}
        self.doubled = 0
        self.unsent = []
        self.n, self.last = 0, Stamp(0, 0, self.device)
        self.position, self.book = 0, ""
        self.look_at = {}

    def now(self, t):
        """The server's time, as this phone knows it."""
        return round(t + self.error.values[-1])

    def record(self, t, build, what, id):
        """Something was tapped. Stamps never go back."""
        now = self.now(t)
        self.last = (
            Stamp(now, 0, self.device)
            if now > self.last.ms
            else Stamp(self.last.ms, self.last.counter + 1, self.device)
        )
        self.n += 1
        happening = Happening(id, self.n, self.last, build, (), what)
        self.unsent.append((self.n, msgspec.json.encode(happening)))
        self.learn(t, happening)
        return happening

    def learn(self, t, happening):
        """Take a happening in, its own or another's."""
        if not self.books.setdefault(happening.build, Book()).add(happening):
            return
        self.learnt[happening.id] = t
        if happening.build == SHOP:
            shop = shop_of(self.books[SHOP])
            self.readings, self.quiet = shop.readings, read_quiet(shop.settings.get("quiet"))
            self.look_at_all()
        else:
            self.look_at[happening.build] = -inf

    def knows(self, build):
        """Whether the build's beginning has come here."""
        return build == SHOP or (build in self.books and self.books[build].started() is not None)

    def set_error(self, t, error):
        """Its idea of the time changed: everything has to be looked at again."""
        if error != self.error.values[-1]:
            self.error.set(t, error)
            self.look_at_all()

    def look_at_all(self):
        """Every build has to be looked at again."""
        self.look_at = {build: -inf for build in self.books if build != SHOP}

    def look(self, t):
        """Ring what is due; gives what began to ring, and the true moment to look again."""
        began = []
        now = self.now(t)
        for build, at in self.look_at.items():
            if at <= now:
                began += self.look_at_build(t, build, now)
        return began, min(self.look_at.values(), default=inf) - self.error.values[-1]

    def look_at_build(self, t, build, now):
        """The same for one build."""
        running = running_of(build, self.books[build], self.readings, now)
        alarms = [alarm for clock in running for alarm in alarms_of(clock, self.quiet, now)]
        began = [alarm.key for alarm in due(alarms, now) if self.ring(t, alarm.key, "page")]
        coming = [alarm.at for alarm in alarms if alarm.at > now]
        coming += [reading.ms for reading in self.readings[-20:] if reading.ms > now]
        self.look_at[build] = min(coming, default=inf)
        return began

    def ring(self, t, key, by):
        """Ring, unless it rang here before; tells whether it did."""
        if key in self.rung:
            return False
        self.rung[key] = (t, by)
        return True
