"""The server's alarms, whole: happenings in, pushes, entries and bells out."""

import json
from pathlib import Path

import pytest
from alerts.push_service import push_service, signed_by
from alerts.watched_shop import (
    HEARD,
    OTHER,
    PHONE,
    PUSHED,
    at,
    body,
    clamped,
    rings_pushed,
    settled,
    subscribed,
)
from benchbell.alerts.push_key import KEY_FILE
from benchbell.bench.happenings import Kept
from benchbell.durations import HOUR_MS, MINUTE_MS
from benchbell.store.database import prepare
from scene import NOON, for_a_shop, for_one_machine, pair, send


@pytest.fixture
def service():
    with push_service() as service:
        yield service


@pytest.fixture
def client(tmp_path):
    with for_one_machine(tmp_path, **PUSHED) as client:
        yield client


def test_a_ring_is_pushed_when_due_and_not_before(client, service):
    subscribed(client, service)
    clamped(client)
    at(client, NOON + 20 * MINUTE_MS - 1)
    settled(client)
    before = list(service.took)
    at(client, NOON + 20 * MINUTE_MS)
    (message,) = service.wait_for(1)

    assert [] == before
    assert [("squeeze-out", "pare")] == rings_pushed(service)
    assert ("high", "aes128gcm") == (message.headers["Urgency"], message.headers["Content-Encoding"])
    assert 86_400 == int(message.headers["TTL"])


def test_a_push_is_signed_with_the_key_the_page_subscribed_with(client, service):
    subscribed(client, service)
    clamped(client)
    at(client, NOON + HOUR_MS)
    header = service.wait_for(1)[0].headers["Authorization"]
    key = client.get("/alerts/key").json()["key"]

    assert header.endswith(f", k={key}")
    assert service.endpoint.startswith(signed_by(header)["aud"])
    assert "mailto:maker@example.com" == signed_by(header)["sub"]


def test_each_device_is_told_once(client, service):
    with push_service() as others:
        subscribed(client, service)
        subscribed(client, others, OTHER)
        clamped(client)
        for minutes in (60, 61, 90):
            at(client, NOON + minutes * MINUTE_MS)
            settled(client)

        assert [("squeeze-out", "pare"), ("in-clamps", "off")] == rings_pushed(service) == rings_pushed(others)


def test_a_restart_tells_nothing_again_and_forgets_nothing(tmp_path, service):
    with for_one_machine(tmp_path, **PUSHED) as client:
        subscribed(client, service)
        clamped(client)
        at(client, NOON + 20 * MINUTE_MS)
        service.wait_for(1)
        settled(client)
        clock = client.settings.clock
    clock.ms = NOON + 3 * HOUR_MS
    with for_one_machine(tmp_path, **{**PUSHED, "clock": clock}) as client:
        service.wait_for(2)
        settled(client)

    assert [("squeeze-out", "pare"), ("in-clamps", "off")] == rings_pushed(service)


def test_a_ring_heard_on_any_device_is_not_pushed(client, service):
    subscribed(client, service)
    clamped(client)
    send(client, OTHER, [body(1, NOON + HOUR_MS, HEARD, device=OTHER)])
    at(client, NOON + HOUR_MS)
    settled(client)

    assert [("squeeze-out", "pare")] == rings_pushed(service)


def test_a_happening_that_comes_in_late_rings_at_once(client, service):
    subscribed(client, service)
    at(client, NOON + 2 * HOUR_MS)
    clamped(client)
    service.wait_for(2)

    assert [("squeeze-out", "pare"), ("in-clamps", "off")] == rings_pushed(service)


def test_what_rang_before_a_device_subscribed_is_not_pushed_to_it(client, service):
    clamped(client)
    at(client, NOON + 30 * MINUTE_MS)
    subscribed(client, service)
    at(client, NOON + HOUR_MS)
    service.wait_for(1)
    settled(client)

    assert [("in-clamps", "off")] == rings_pushed(service)


def test_subscribing_anew_does_not_lose_what_still_has_to_be_told(client, service):
    subscribed(client, service)
    clamped(client)
    service.answers.append((503, {}))
    at(client, NOON + HOUR_MS)
    service.wait_for(1, "asked")
    settled(client)
    at(client, NOON + HOUR_MS + 1)
    subscribed(client, service)
    service.wait_for(2)

    assert [("squeeze-out", "pare"), ("in-clamps", "off")] == rings_pushed(service)


@pytest.mark.parametrize("status", [404, 410])
def test_a_dead_subscription_is_removed(client, service, status):
    subscribed(client, service)
    clamped(client)
    service.answers.append((status, {}))
    at(client, NOON + HOUR_MS)
    service.wait_for(1, "asked")
    settled(client)

    assert client.get("/alerts", headers={"Device": PHONE}).json()["push"] is None
    assert 1 == len(service.asked)


def test_a_busy_push_service_is_left_alone_as_long_as_it_asks(client, service):
    subscribed(client, service)
    clamped(client)
    service.answers.append((429, {"Retry-After": "90"}))
    at(client, NOON + HOUR_MS)
    service.wait_for(1, "asked")
    settled(client)
    at(client, NOON + HOUR_MS + 89_999)
    settled(client)
    waited = len(service.asked)
    at(client, NOON + HOUR_MS + 90_000)
    service.wait_for(2)

    assert 1 == waited
    assert [("squeeze-out", "pare"), ("in-clamps", "off")] == rings_pushed(service)


def test_a_push_service_that_is_away_is_tried_again(client, service):
    subscribed(client, service)
    clamped(client)
    service.answers.extend([(500, {}), (503, {})])
    at(client, NOON + HOUR_MS)
    for seconds in (2, 4):
        service.wait_for(1 if seconds == 2 else 2, "asked")
        settled(client)
        at(client, client.settings.clock.ms + seconds * 1000)
    service.wait_for(2)

    assert [("squeeze-out", "pare"), ("in-clamps", "off")] == rings_pushed(service)
    assert "" == client.get("/alerts", headers={"Device": PHONE}).json()["push"]["trouble"]


def test_a_refusal_is_shown_with_what_to_do(tmp_path, service):
    with for_one_machine(tmp_path, **{**PUSHED, "contact": ""}) as client:
        subscribed(client, service)
        service.answers.append((403, {}))
        answer = client.post("/alerts/test", headers={"Device": PHONE})
        trouble = client.get("/alerts", headers={"Device": PHONE}).json()["push"]["trouble"]

    assert (400, "refused") == (answer.status_code, answer.json()["error"]["kind"])
    assert "The push service answered 403. Start the server with --contact mailto:" in trouble


def test_a_test_push_reaches_the_device_and_says_that_nothing_is_due(client, service):
    subscribed(client, service)
    answer = client.post("/alerts/test", headers={"Device": PHONE})
    (message,) = service.wait_for(1)

    assert 204 == answer.status_code
    assert "This is a test; nothing is due." == json.loads(service.browser.read(message.body))["text"]
    assert NOON == client.get("/alerts", headers={"Device": PHONE}).json()["push"]["good_ms"]


def test_a_device_without_a_subscription_cannot_be_tested(client):
    answer = client.post("/alerts/test", headers={"Device": PHONE})

    assert "This device has no push subscription." == answer.json()["error"]["what"]


def test_a_device_that_unsubscribed_is_not_pushed_to(client, service):
    subscribed(client, service)
    clamped(client)
    client.delete("/alerts/subscription", headers={"Device": PHONE})
    at(client, NOON + HOUR_MS)
    settled(client)

    assert [] == service.asked


def test_one_browser_is_one_subscription_although_it_was_paired_anew(client, service):
    subscribed(client, service)
    subscribed(client, service, OTHER)
    clamped(client)
    at(client, NOON + 20 * MINUTE_MS)
    service.wait_for(1)
    settled(client)

    assert 1 == len(service.asked)


def test_a_revoked_device_is_not_pushed_to_and_its_feed_is_void(tmp_path, service):
    with for_a_shop(tmp_path, **PUSHED) as client:
        device = pair(client)
        client.put("/alerts/subscription", json=service.subscription())
        path = client.put("/alerts/calendar").json()["path"]
        clamped(client, "")
        before = client.get(path).status_code
        client.post(f"/devices/{device}/revoke")
        at(client, NOON + HOUR_MS)
        settled(client)

        assert (200, 404) == (before, client.get(path).status_code)
    assert [] == service.asked


def subscription(service, **changed):
    usual = service.subscription()
    return {**usual, **changed, "keys": {**usual["keys"], **changed.get("keys", {})}}


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"endpoint": "https://10.0.0.1/x"}, "leads to 10.0.0.1, which is not on the internet"),
        ({"endpoint": "https://[::ffff:192.168.1.1]/x"}, "which is not on the internet"),
        ({"endpoint": "ftp://push.example.net/x"}, "begins with 'ftp'; only https is used"),
        ({"endpoint": "https://me@push.example.net/x"}, "is not written as one"),
        ({"endpoint": "https://push.example.net:x/"}, "is no address"),
        ({"keys": {"p256dh": "AAAA"}}, "is not a point on the curve P-256"),
        ({"keys": {"auth": "AAAA"}}, "have 65 and 3 bytes, not 65 and 16"),
    ],
)
def test_a_subscription_that_could_do_harm_is_refused(client, service, changed, sentence):
    answer = client.put("/alerts/subscription", json=subscription(service, **changed), headers={"Device": PHONE})

    assert 400 == answer.status_code
    assert sentence in answer.json()["error"]["what"]
    assert "Switch notifications off and on again" in answer.json()["error"]["next_step"]


def test_without_the_tests_own_setting_this_machine_is_no_push_service(tmp_path, service):
    with for_one_machine(tmp_path) as client:
        answer = client.put("/alerts/subscription", json=service.subscription(), headers={"Device": PHONE})

    assert "begins with 'http'; only https is used" in answer.json()["error"]["what"]


def test_nobody_subscribes_without_a_name(client, service):
    answer = client.put("/alerts/subscription", json=service.subscription())

    assert (401, "not-paired") == (answer.status_code, answer.json()["error"]["kind"])


def test_the_servers_key_is_made_once_and_is_for_its_owner_alone(tmp_path):
    with for_one_machine(tmp_path) as client:
        first = client.get("/alerts/key").json()
        mode = Path(client.settings.data, KEY_FILE).stat().st_mode & 0o777
    with for_one_machine(tmp_path) as client:
        second = client.get("/alerts/key").json()

    assert 0o600 == mode
    assert first == second


def test_quiet_hours_that_cannot_be_read_are_shown(client):
    send(client, PHONE, [body(1, NOON, Kept("quiet", "at night"), build="")])
    settled(client)

    assert "The setting quiet is 'at night'" in client.get("/alerts", headers={"Device": PHONE}).json()["quiet"]


@pytest.mark.parametrize("left", [b"", b"no key"])
def test_a_damaged_push_key_stops_nothing_but_pushes_and_stays_as_it_is(tmp_path, left):
    prepare(tmp_path / "data")
    (tmp_path / "data" / KEY_FILE).write_bytes(left)
    with for_one_machine(tmp_path) as client:
        assert client.get("/records", headers={"Device": PHONE}).status_code == 200
        refused = client.get("/alerts/key", headers={"Device": PHONE})

    assert refused.status_code == 400
    assert "push.key is damaged" in refused.json()["error"]["what"]
    assert left == (tmp_path / "data" / KEY_FILE).read_bytes()
