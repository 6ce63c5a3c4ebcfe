"""A month in a workshop: phones that sleep and wake, a server that restarts, networks that come and go."""

import asyncio
import heapq
import random
from math import inf

from alerts.month.phone import Phone
from alerts.month.server import Server
from alerts.month.service import Service
from alerts.month.work import DAY, month_of
from benchbell.bench.happenings import Acknowledged, Lengthened, Undone
from benchbell.durations import HOUR_MS, MINUTE_MS
from scene import NOON

START = NOON - 12 * HOUR_MS
SECOND = 1000


class World:
    """Everything that happens, in the order of true time `t` (ms)."""

    def __init__(self, folder, seed, days, builds):
        self.chance = random.Random(seed)
        self.t = self.start = START
        self.end = START + days * DAY
        self.service = Service(self.chance, lambda: self.t)
        self.server = Server(folder, self.service, lambda: self.t)
        self.phones = [Phone(number, self.chance.randint(-100, 100)) for number in range(1, 5)]
        self.happened = {}
        self.coming = []
        self.made = 0
        self.planned_round = inf
        for t, build, what in month_of(self.chance, START, days, builds):
            self.at(t, self.tap, build, what)
        for phone in self.phones:
            self.plan_phone(phone, days)
        self.plan_troubles(days)

    def at(self, t, work, *arguments):
        """Have it happen then."""
        self.made += 1
        heapq.heappush(self.coming, (t, self.made, work, arguments))

    def minutes(self, least, most):
        return round(self.chance.uniform(least, most) * MINUTE_MS)

    def plan_phone(self, phone, days):
        """Awake in hand now and then by day; out of reach for a while, one of them for days; its clock set wrong."""
        for day in range(days):
            for _ in range(self.chance.randint(10, 25)):
                wakes = START + day * DAY + round(self.chance.uniform(6.5, 21) * HOUR_MS)
                self.at(wakes, self.wake, phone, self.minutes(0.2, 15))
        t = START
        while t < self.end:
            t += self.minutes(60, 10 * 60)
            away = self.minutes(2, 90)
            if phone is self.phones[3] and self.chance.random() < 0.3:
                away = self.minutes(12 * 60, 5 * 24 * 60)
            self.at(t, self.reach, phone, False)
            self.at(t + away, self.reach, phone, True)
            t += away
        for _ in range(days // 3 + 1):
            jump = self.chance.choice([-1, 1]) * self.minutes(1, 120)
            self.at(self.chance.randint(START, self.end), self.jump, phone, jump)

    def plan_troubles(self, days):
        """The server restarts, and the push service is away."""
        for _ in range(days):
            t = self.chance.randint(START, self.end)
            self.at(t, self.server_stops)
            self.at(t + self.chance.choice([self.minutes(0.1, 1), self.minutes(1, 120)]), self.server_starts)
            t = self.chance.randint(START, self.end)
            self.at(t, self.service_up, False)
            self.at(t + self.minutes(1, 240), self.service_up, True)

    async def run(self):
        await self.server.start()
        for phone in self.phones[:3]:
            await self.server.subscribe(phone)
        try:
            while self.coming and self.coming[0][0] <= self.end:
                t, _, work, arguments = heapq.heappop(self.coming)
                self.t = max(self.t, t)
                await work(*arguments)
        finally:
            await self.server_stops()
        return self

    # --- people ------------------------------------------------------------------------------------------

    async def tap(self, build, what, phone=None):
        """Somebody takes a phone that knows the build, mostly the first, and records it; now and then it was a slip."""
        phone = phone or self.chance.choices(self.phones, (6, 2, 1, 1))[0]
        if not phone.knows(build):
            phone = self.phones[0]
        if not phone.awake.values[-1]:
            await self.wake(phone, self.minutes(0.2, 3))
            self.at(self.t + 2 * SECOND, self.tap, build, what, phone)
            return
        happening = phone.record(self.t, build, what, self.new_id())
        self.happened[happening.id] = happening
        slips = 0.3 if isinstance(what, Undone) else 0.01
        if build and self.chance.random() < slips and what.__struct_config__.tag != "started":
            self.at(self.t + self.minutes(0.1, 1), self.tap, build, Undone(happening.id), phone)
        await self.look(phone)
        self.sync_soon(phone)

    def new_id(self):
        self.made += 1
        return f"{self.t:012x}"[:8] + f"-{self.t & 0xFFFF:04x}-7000-8000-{self.made:012x}"

    async def hear(self, phone, key):
        """Somebody hears it, comes, and acknowledges it, or gives the clamps ten minutes more."""
        build, operation, ring = key
        if not phone.knows(build):
            return  # a push told of a build that has not come to this phone
        await self.tap(build, Acknowledged(operation, ring), phone)
        if ring.startswith("in-clamps") and self.chance.random() < 0.15:
            await self.tap(build, Lengthened(operation, "in-clamps", 10 * MINUTE_MS, "cold"), phone)

    def heard_later(self, phone, began, chances):
        for key in began:
            if self.chance.random() < chances:
                self.at(self.t + self.minutes(0.02, 8), self.hear, phone, key)

    # --- phones ------------------------------------------------------------------------------------------

    async def wake(self, phone, lasts):
        """The page opens: it looks at what it knows, then asks the server."""
        phone.awake.set(self.t, True)
        self.at(self.t + lasts, self.sleep, phone)
        await self.look(phone)
        self.sync_soon(phone)

    async def sleep(self, phone):
        phone.awake.set(self.t, False)

    async def reach(self, phone, online):
        phone.online.set(self.t, online)
        if online:
            self.deliver(phone)
            self.sync_soon(phone)

    async def jump(self, phone, by):
        """Its clock is set. A running page notices and stays right; a sleeping one is wrong until the next sync."""
        if not phone.awake.values[-1]:
            phone.set_error(self.t, phone.error.values[-1] + by)

    async def look(self, phone):
        """The page's rule, and when to look next."""
        if phone.awake.values[-1]:
            began, again = phone.look(self.t)
            self.heard_later(phone, began, 0.6)
            if again < inf:
                self.at(max(self.t + 1, again), self.look_again, phone)

    async def look_again(self, phone):
        """Unless it looked meanwhile."""
        if phone.awake.values[-1] and min(phone.look_at.values()) <= phone.now(self.t):
            await self.look(phone)

    def sync_soon(self, phone, least=20, most=500):
        """A round trip takes its time."""
        self.at(self.t + self.chance.randint(least, most), self.sync, phone)

    async def sync(self, phone):
        """With the server, where there is one; its answer may be lost. Others that are awake are nudged."""
        if not (phone.awake.values[-1] and phone.online.values[-1] and self.server.up.values[-1]):
            return
        answered = self.chance.random() > 0.03
        new = await self.server.sync(phone, self.t, answered)
        if not answered:
            self.at(self.t + 5 * SECOND, self.sync, phone)
        await self.look(phone)
        if new:
            await self.round()
            for other in self.phones:
                if other is not phone:
                    self.sync_soon(other, 50, 1500)

    def deliver(self, phone):
        """Pushes that wait; a worker shows them while the page sleeps."""
        if phone.online.values[-1]:
            shown = [key for key in self.service.deliver(phone.device, self.t) if phone.ring(self.t, key, "push")]
            self.heard_later(phone, shown, 0.5)

    # --- the server --------------------------------------------------------------------------------------

    async def round(self):
        if not self.server.up.values[-1]:
            return
        again = await self.server.round()
        if self.server.cut:
            self.t += 1
            await self.server_stops()
            self.at(self.t + self.minutes(0.1, 5), self.server_starts)
        for phone in self.phones:
            self.deliver(phone)
        if again < inf:
            self.planned_round = again
            self.at(again, self.next_round, again)

    async def next_round(self, planned):
        """Unless there was one meanwhile, which planned anew."""
        if planned == self.planned_round:
            await self.round()

    async def server_stops(self):
        if self.server.up.values[-1]:
            await self.server.stop()

    async def server_starts(self):
        if not self.server.up.values[-1]:
            await self.server.start()
            await self.round()
            for phone in self.phones:
                self.sync_soon(phone, 50, 3000)

    async def service_up(self, up):
        self.service.up.set(self.t, up)


def live(folder, seed, days, builds):
    """The month, lived."""
    return asyncio.run(World(folder, seed, days, builds).run())
