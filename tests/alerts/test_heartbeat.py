"""Every phone is told when the server last saw to its alarms: rounds that fail or hang are none."""

import asyncio
import time

import pytest
from alerts.watched_shop import PHONE, at
from benchbell.alerts import alarm_loop
from benchbell.alerts.heartbeat import LATE_S, Heartbeat
from benchbell.durations import HOUR_MS
from benchbell.store.errors import StoreError
from benchbell.store.sqlite_records import SqliteRecords
from scene import NOON, for_one_machine, send


def ran(client):
    """What a phone is told when it syncs."""
    return send(client, PHONE).json()["alarms_ran"]


def until(true):
    """Wait for it: the loop runs in another thread."""
    deadline = time.monotonic() + 10
    while not true():
        assert time.monotonic() < deadline
        time.sleep(0.005)


def test_a_phone_is_told_when_the_alarms_ran(tmp_path):
    with for_one_machine(tmp_path) as client:
        until(lambda: ran(client) is not None)

        assert NOON - 5000 < ran(client) <= NOON


def test_alarms_that_cannot_begin_have_never_run(tmp_path, monkeypatch):
    tries = []

    async def fail(*_):
        tries.append(1)
        raise StoreError("The records cannot be read.", "Look at them.")

    monkeypatch.setattr(alarm_loop, "RETRY_S", 0.01)
    monkeypatch.setattr(SqliteRecords, "delivered", fail)
    with for_one_machine(tmp_path) as client:
        until(lambda: len(tries) > 2)

        assert ran(client) is None


@pytest.mark.parametrize("fault", ["fails", "hangs"])
def test_a_round_that_is_not_whole_is_not_told_as_one(tmp_path, monkeypatch, fault):
    with for_one_machine(tmp_path) as client:
        until(lambda: ran(client) is not None)
        rounds = []

        async def broken():
            rounds.append(1)
            if fault == "hangs":
                await asyncio.Event().wait()
            raise ZeroDivisionError

        monkeypatch.setattr(client.shop.alarm_loop.clock_tracker, "refresh", broken)
        at(client, NOON)
        until(lambda: rounds)
        before = client.shop.heartbeat.beat_s
        client.blocking_portal.call(client.shop.alarm_loop.wake.set)
        first = ran(client)
        until(lambda: ran(client) < first)  # the server's clock stands still here, and real time passes

        assert before == client.shop.heartbeat.beat_s


class Loop(asyncio.SelectorEventLoop):
    """An event loop whose time is told."""

    now = 0.0

    def time(self):
        return self.now


def beats(*moments):
    """The moments (s) at which rounds were told at once, of rounds at these moments."""
    resumed, loop = [], Loop()

    async def run():
        heart = Heartbeat(lambda: NOON, lambda: resumed.append(loop.now))
        for loop.now in moments:
            heart.beat()

    loop.run_until_complete(run())
    loop.close()
    return resumed


def test_the_first_round_and_a_late_one_are_told_at_once():
    assert [5.0, 100.0] == beats(5.0, 15.0, 15.0 + LATE_S, 100.0, 101.0)


def test_a_clock_that_was_set_shifts_the_moment_with_it():
    clock, loop = [NOON], Loop()

    async def run():
        heart = Heartbeat(lambda: clock[0])
        never = heart.last_ms()
        heart.beat()
        loop.now, clock[0] = 7.0, NOON + HOUR_MS
        return never, heart.last_ms()

    heartbeats = loop.run_until_complete(run())
    loop.close()

    assert (None, NOON + HOUR_MS - 7000) == heartbeats
