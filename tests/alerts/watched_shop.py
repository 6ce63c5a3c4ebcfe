"""A server whose alarms a test drives: what happens, what time it is, and what was pushed."""

import json
import time

import pytest
from alerts.sample import BUILD, CLAMPED, STARTED
from benchbell.bench.happenings import Acknowledged
from scene import NOON, encoded, send

PHONE, OTHER = "ab" * 8, "cd" * 8


HEARD = Acknowledged("A/glue", f"in-clamps|off|{NOON}")


PUSHED = {"bell": (), "loopback_push": True, "contact": "mailto:maker@example.com"}


def body(n, ms, what, build=BUILD, device=PHONE):
    return encoded(n, ms, what, build, device)


def clamped(client, device=PHONE, *more):
    """A glue-up went into clamps at noon; they may come off at 13:00. What was to be pared is pared."""
    happened = [STARTED, CLAMPED, *more]
    answer = send(client, device, [body(n, NOON, what) for n, what in enumerate(happened, 1)])
    assert answer.status_code == 200, answer.text


def at(client, ms):
    """Let the clock show a moment, and the server look at it."""
    client.settings.clock.ms = ms
    client.blocking_portal.call(client.shop.alarm_loop.wake.set)


def settled(client):
    """Everything that is due was seen to: after one more round nobody is at work."""
    alarm_loop = client.shop.alarm_loop
    deadline = time.monotonic() + 5
    while time.monotonic() < deadline:
        client.blocking_portal.call(alarm_loop.round)
        if not alarm_loop.push_queue.deliveries and alarm_loop.bell_task is None:
            return
        time.sleep(0.005)
    pytest.fail("pushing did not come to an end")


def subscribed(client, service, device=PHONE):
    answer = client.put("/alerts/subscription", json=service.subscription(), headers={"Device": device})
    assert answer.status_code == 204, answer.text


def rings_pushed(service):
    """(kind, stage) of each message the browser could read."""
    return [tuple(json.loads(service.browser.read(m.body))[f] for f in ("kind", "stage")) for m in service.took]


def feed_path(client, device=PHONE):
    return client.put("/alerts/calendar", headers={"Device": device}).json()["path"]


def wait_until(there, seconds=30):
    """Wait until something is so that a process of its own brings about."""
    until = time.monotonic() + seconds
    while not there():
        assert time.monotonic() < until, "it did not happen"
        time.sleep(0.02)
