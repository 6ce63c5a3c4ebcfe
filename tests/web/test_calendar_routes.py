"""The calendar feed: an address of its own for each device, and entries that follow the clocks."""

import pytest
import vobject
from alerts.sample import OFF
from alerts.watched_shop import (
    OTHER,
    PHONE,
    PUSHED,
    body,
    clamped,
    feed_path,
)
from benchbell.durations import MINUTE_MS
from scene import NOON, for_one_machine, send


@pytest.fixture
def client(tmp_path):
    with for_one_machine(tmp_path, **PUSHED) as client:
        yield client


def events(answer):
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    return {event.summary.value: event for event in vobject.readOne(answer.text).contents.get("vevent", [])}


def test_a_feed_follows_the_clocks(client):
    path = feed_path(client)
    empty = events(client.get(path))
    clamped(client)
    running = events(client.get(path))
    send(client, PHONE, [body(3, NOON + MINUTE_MS, OFF)])
    ended = events(client.get(path))
    title = "Clamps may come off: Glue the rim, piece A"

    assert {} == empty
    assert ("CONFIRMED", "0") == (running[title].status.value, running[title].sequence.value)
    assert ("CANCELLED", "1") == (ended[title].status.value, ended[title].sequence.value)
    assert running[title].uid.value == ended[title].uid.value


def test_sequence_goes_on_after_a_restart(tmp_path):
    with for_one_machine(tmp_path) as client:
        path = feed_path(client)
        clamped(client)
        events(client.get(path))
    with for_one_machine(tmp_path) as client:
        send(client, PHONE, [body(3, NOON + MINUTE_MS, OFF)])
        ended = events(client.get(path))

    assert "1" == ended["Clamps may come off: Glue the rim, piece A"].sequence.value


def test_a_feed_is_sent_once_and_then_only_when_it_changed(client):
    path = feed_path(client)
    clamped(client)
    first = client.get(path)
    again = client.get(path, headers={"If-None-Match": first.headers["etag"]})
    send(client, PHONE, [body(3, NOON + MINUTE_MS, OFF)])
    changed = client.get(path, headers={"If-None-Match": first.headers["etag"]})

    assert (200, 304, 200) == (first.status_code, again.status_code, changed.status_code)
    assert b"" == again.content


def test_a_new_address_voids_the_last_and_none_opens_anything_else(client):
    old, new = feed_path(client), feed_path(client)
    another = feed_path(client, OTHER)
    statuses = [client.get(path).status_code for path in (old, new, another, "/calendar/x.ics", f"{new}x")]
    client.delete("/alerts/calendar", headers={"Device": PHONE})

    assert [404, 200, 200, 404, 404] == statuses
    assert [404, 200] == [client.get(path).status_code for path in (new, another)]


def test_the_address_is_not_to_be_guessed_and_not_to_be_read_from_the_records(client):
    path = feed_path(client)
    secret = path.removeprefix("/calendar/").removesuffix(".ics")
    records = b"".join(file.read_bytes() for file in client.settings.data.glob("benchbell.db*"))

    assert 64 == len(secret) and int(secret, 16)
    assert secret.encode() not in records and bytes.fromhex(secret) not in records


def test_a_feed_tells_when_it_was_last_fetched(client):
    path = feed_path(client)
    before = client.get("/alerts", headers={"Device": PHONE}).json()["calendar"]
    client.get(path)

    assert {"since_ms": NOON, "fetched_ms": None} == before
    assert NOON == client.get("/alerts", headers={"Device": PHONE}).json()["calendar"]["fetched_ms"]
