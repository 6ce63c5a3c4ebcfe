"""Nudges: quick, bare, and a hundred streams at once."""

import asyncio
import os
import time
from itertools import islice
from types import SimpleNamespace

import httpx
import pytest
from benchbell.settings import now_ms
from benchbell.store.errors import StoreError
from benchbell.store.record_types import Device
from benchbell.store.sqlite_records import ask_records
from benchbell.web import nudges
from benchbell.web.errors import TooMany
from benchbell.web.nudge_routes import live
from benchbell.web.nudges import Listeners
from ports import free_port
from scene import NOON, PHONE, bodies
from web.running import command, serving, serving_here

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

    assert [("nudge", "7"), ("nudge", "9")] == [(event.event, event.data) for event in (at_once, later)]


def test_a_quiet_stream_is_kept_open_by_telling_when_the_alarms_ran(monkeypatch):
    monkeypatch.setattr(nudges, "KEEP_ALIVE_SECONDS", 0.01)
    moments = iter([None, NOON])

    async def run():
        return await first_of(Listeners(1, lambda: next(moments)).nudges(""), 3)

    events = [(message.event, message.data) for message in asyncio.run(run())]

    assert [("nudge", "1"), ("alarms", ""), ("alarms", str(NOON))] == events


def test_that_the_alarms_run_again_is_told_at_once_and_not_as_news():
    async def run():
        listeners = Listeners(1, lambda: NOON)
        stream = listeners.nudges("")
        await first_of(stream, 2)
        listeners.wake()
        return await anext(stream)

    event = asyncio.run(run())

    assert ("alarms", str(NOON)) == (event.event, event.data)


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


def paired(data, name):
    return ask_records(data, lambda records: records.add_device(name, now_ms(), os.urandom))


def test_revoking_on_the_command_line_ends_the_devices_open_stream_and_no_other(tmp_path):
    port, data = free_port(), tmp_path / "data"
    url = f"http://127.0.0.1:{port}"
    with serving(tmp_path, "--proxied", "--port", port, url=url), httpx.Client(base_url=url, timeout=30) as client:
        phone, other = [{"Authorization": f"Bearer {paired(data, name).token}"} for name in ("phone", "other")]
        with client.stream("GET", "/live", headers=phone) as its, client.stream("GET", "/live", headers=other) as mine:
            lines = its.iter_lines()
            first = [next(lines), next(lines)]
            revoked = command("devices", "revoke", "phone", "--data", data)
            rest = list(lines)
            after = client.get("/device", headers=phone)
            client.post("/sync", content=batch(1, 1), headers=other)
            heard = list(islice((line for line in mine.iter_lines() if line == "event: nudge"), 2))

    assert 0 == revoked.returncode
    assert "event: nudge" in first
    assert "event: nudge" not in rest
    assert (403, "revoked") == (after.status_code, after.json()["error"]["kind"])
    assert 2 == len(heard)


def test_a_disk_that_fails_for_a_moment_does_not_end_the_look_for_revoked_devices(monkeypatch):
    monkeypatch.setattr(nudges, "REVOKED_CHECK_SECONDS", 0)
    answers = [StoreError("The disk fails.", "Look at it."), [Device(PHONE, "phone", 1, 1, 2)]]

    class Records:
        async def all_devices(self):
            answer = answers.pop(0)
            if isinstance(answer, Exception):
                raise answer
            return answer

    async def run():
        listeners = Listeners(1, never)
        stream = listeners.nudges(PHONE)
        await anext(stream)
        looking = asyncio.create_task(listeners.follow_revocations(Records()))
        heard = [event async for event in stream if event.event == "nudge"]
        looking.cancel()
        return heard

    assert [] == asyncio.run(run())
