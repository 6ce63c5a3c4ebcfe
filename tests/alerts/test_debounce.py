"""When a round begins while phones send: after a short silence, and never later than a ring is due."""

import asyncio

from benchbell.alerts import alarm_loop
from benchbell.alerts.alarm_loop import AlarmLoop

LONG_S = 60
"""Far longer than any of these tests may take."""


class Beat:
    """A heartbeat that nobody looks at."""

    def beat(self):
        pass


def loop_of():
    return AlarmLoop(None, None, None, None, None, asyncio.Event(), Beat())


async def keep_sending(news, times):
    """So many commits, each before the silence after the last is long enough."""
    for _ in range(times):
        news.set()
        await asyncio.sleep(alarm_loop.DEBOUNCE_S / 10)


def test_a_round_waits_until_a_phone_has_sent_its_work():
    async def run():
        waiting = loop_of()
        sending = asyncio.create_task(keep_sending(waiting.news, 5))
        await asyncio.sleep(0)
        await asyncio.wait_for(waiting.debounce(LONG_S), LONG_S / 2)
        return sending.done()

    assert asyncio.run(run())


def test_what_must_be_seen_to_at_once_does_not_wait_for_silence():
    async def run():
        waiting = loop_of()
        sending = asyncio.create_task(keep_sending(waiting.news, 10_000))
        await asyncio.sleep(0)
        waiting.wake.set()
        await asyncio.wait_for(waiting.debounce(LONG_S), LONG_S / 4)
        sending.cancel()

    asyncio.run(run())


def test_a_flood_of_news_does_not_hold_up_a_ring(monkeypatch):
    monkeypatch.setattr(alarm_loop, "LONGEST_DEBOUNCE_S", LONG_S)

    async def run():
        waiting, rounds, second = loop_of(), [], asyncio.Event()

        async def one_round():
            rounds.append(1)
            if len(rounds) > 1:
                second.set()
            return 0.2

        waiting.restore, waiting.round = lambda: asyncio.sleep(0), one_round
        sending = asyncio.create_task(keep_sending(waiting.news, 10_000))
        waiting.start()
        await asyncio.wait_for(second.wait(), LONG_S / 4)
        sending.cancel()
        await waiting.close()

    asyncio.run(run())


def test_a_bell_that_has_ended_has_the_next_ring_looked_for_at_once():
    async def run():
        waiting = loop_of()
        waiting.bell_task = asyncio.create_task(asyncio.sleep(0))
        waiting.bell_task.add_done_callback(waiting.bell_ended)
        await asyncio.wait_for(waiting.wake.wait(), LONG_S / 4)
        return waiting.bell_task

    assert asyncio.run(run()) is None
