"""Random lives of the server's machine: its clock set, trusted or not, booted, its program restarted.

Whatever happens, no more time is counted between an entry and now than really passed; and while the machine runs on,
exactly as much.
"""

import asyncio
from random import Random

from benchbell.alerts.server_clock import NOTICED_MS, ServerClock
from benchbell.bench.happenings import SHOP, When
from benchbell.bench.server_clock import moment_of, settings_of
from benchbell.durations import DAY_MS, HOUR_MS, MINUTE_MS, SECOND_MS
from hypothesis import given, settings
from hypothesis import strategies as st
from scene import NOON, Clock
from store.memory_records import MemoryRecords


class Life:
    """A machine, the server on it, and what phones recorded: each with the true moment. true: ms that really passed.

    A clock without power stands still or loses time while the machine is off; none runs ahead of the truth then.
    """

    def __init__(self, seed):
        self.chance, self.machine, self.records = Random(seed), Clock(), MemoryRecords()
        self.true, self.boot, self.entries, self.learnt = 0, 0, [], When(NOON)
        self.clock = None

    async def start(self):
        self.clock = ServerClock(self.records, self.machine, lambda n: self.chance.randbytes(n))
        await self.clock.start()
        await self.clock.check()

    async def passes(self):
        ms = self.chance.choice([SECOND_MS, MINUTE_MS, 40 * MINUTE_MS, 7 * HOUR_MS])
        self.machine.ms += ms
        self.true += ms
        if self.chance.random() < 0.2:
            self.by_the_network()
        await self.clock.check()

    def by_the_network(self):
        """The network puts the machine's clock right, and the system vouches for it from then on."""
        self.machine.set(NOON + self.true - self.machine.ms)
        self.machine.trusted = True

    async def is_set(self):
        """Somebody sets the machine's clock, for which the system vouches no longer then."""
        self.machine.set(self.chance.choice([1, -1]) * self.chance.choice([900, 3_000, 2 * HOUR_MS, 3 * DAY_MS]))
        self.machine.trusted = False
        await self.clock.check()

    async def records_something(self):
        """By a phone that knows the server's clock as it is, or as it was when the phone went offline in this boot."""
        self.entries.append((self.true, self.boot, self.clock.when()))

    async def restarts(self):
        await self.clock.close()
        if self.chance.random() < 0.5:
            self.machine.set(self.chance.choice([-HOUR_MS, HOUR_MS]))
            self.machine.trusted = False
        await self.start()

    async def boots(self):
        await self.clock.close()
        off = self.chance.choice([20 * SECOND_MS, HOUR_MS, 14 * HOUR_MS])
        lost = self.chance.choice([0, off, off + MINUTE_MS, off + DAY_MS])
        self.true += off
        self.boot += 1
        self.machine.reboot(off - lost)
        self.machine.trusted = False
        await self.start()

    async def check(self):
        """No entry is counted as longer ago than it is."""
        known = settings_of(await self.records.happenings_of(SHOP))
        now = self.clock()
        for true, boot, when in self.entries:
            moment = moment_of(when, known)
            counted, passed = now - moment.ms, self.true - true
            assert counted <= passed + (self.boot - boot) * NOTICED_MS, (moment, when, now, passed, known)
            if boot == self.boot:
                assert (counted, moment.clock == "unsure") == (passed, False)


async def lived(seed, length):
    life = Life(seed)
    await life.start()
    deeds = (life.passes, life.is_set, life.records_something, life.records_something, life.restarts, life.boots)
    for _ in range(length):
        await life.chance.choice(deeds)()
        await life.check()


@settings(max_examples=300, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(1, 25))
def test_never_early_whatever_the_clock_says(seed, length):
    asyncio.run(lived(seed, length))
