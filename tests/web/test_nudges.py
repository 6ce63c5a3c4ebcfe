"""Nudges: quick, bare, and a hundred streams at once."""

import asyncio
import time
from types import SimpleNamespace

import httpx
import pytest
from benchbell.web import nudges
from benchbell.web.errors import TooMany
from benchbell.web.nudge_routes import live
from benchbell.web.nudges import Listeners
from scene import NOON, PHONE, bodies
from web.running import serving_here

STREAMS = 100


def batch(first, last) -> bytes:
    return b'{"page":2,"after":0,"happenings":[' + b",".join(bodies(first, last)) + b"]}"


async def next_nudge(lines) -> int:
    """The position in the next nudge of a stream."""
    event = ""
    async for line in lines:
        name, _, value = line.partition(": ")
        if name == "event":
            event = value
        if (name, event) == ("data", "nudge"):
            return int(value)
    raise AssertionError("the stream ended")


def test_a_hundred_open_streams_are_all_nudged_and_the_server_still_stops_in_time(tmp_path):
    async def run(url):
        limits = httpx.Limits(max_connections=None)
        async with httpx.AsyncClient(base_url=url, timeout=20, limits=limits) as client:
            streams = [client.stream("GET", "/live") for _ in range(STREAMS)]
            answers = [await stream.__aenter__() for stream in streams]
            lines = [answer.aiter_lines() for answer in answers]
            first = await asyncio.gather(*map(next_nudge, lines))
            await client.post("/sync", content=batch(1, 3), headers={"Device": PHONE})
            second = await asyncio.gather(*map(next_nudge, lines))
            stopped = asyncio.to_thread(stop)
            ended = await stopped
            return first, second, answers[0].headers["content-type"], ended

    with serving_here(tmp_path) as (url, process):

        def stop():
            began = time.monotonic()
            process.terminate()
            return process.wait(timeout=15), time.monotonic() - began

        first, second, kind, (status, seconds) = asyncio.run(run(url))

    assert ([0] * STREAMS, [3] * STREAMS) == (first, second)
    assert kind.startswith("text/event-stream")
    assert 0 == status
    assert seconds < 8


def never():
    """The alarms have not run yet."""
    return None


async def first_of(stream, count):
    return [await anext(stream) for _ in range(count)]


def test_a_nudge_holds_the_newest_position_and_nothing_else():
    async def run():
        listeners = Listeners(7, never)
        stream = listeners.nudges("")
        (at_once,) = await first_of(stream, 1)
        listeners.announce(8)
        listeners.announce(9)
        listeners.announce(5)
        return at_once, await anext(stream)

    at_once, later = asyncio.run(run())

    assert [("nudge", "7"), ("nudge", "9")] == [(told.event, told.data) for told in (at_once, later)]


def test_a_quiet_stream_is_kept_open_by_telling_when_the_alarms_ran(monkeypatch):
    monkeypatch.setattr(nudges, "KEEP_ALIVE_SECONDS", 0.01)
    moments = iter([None, NOON])

    async def run():
        return await first_of(Listeners(1, lambda: next(moments)).nudges(""), 3)

    told = [(message.event, message.data) for message in asyncio.run(run())]

    assert [("nudge", "1"), ("alarms", ""), ("alarms", str(NOON))] == told


def test_that_the_alarms_run_again_is_told_at_once_and_not_as_news():
    async def run():
        listeners = Listeners(1, lambda: NOON)
        stream = listeners.nudges("")
        await first_of(stream, 2)
        listeners.wake()
        return await anext(stream)

    told = asyncio.run(run())

    assert ("alarms", str(NOON)) == (told.event, told.data)


def test_a_stream_that_ends_is_forgotten():
    async def run():
        listeners = Listeners(1, never)
        stream = listeners.nudges("")
        await anext(stream)
        during = len(listeners.events)
        await stream.aclose()
        return during, len(listeners.events)

    assert (1, 0) == asyncio.run(run())


def test_there_is_a_most_of_streams():
    listeners = Listeners(0, never)
    listeners.events = {object(): "" for _ in range(nudges.MOST_STREAMS)}

    with pytest.raises(TooMany, match=r"500 pages listen already"):
        asyncio.run(live.fn("", SimpleNamespace(listeners=listeners)))
