"""Stamps that are far ahead of the server: what is sent with them, and what an older server has in its log already."""

import json

import msgspec
import pytest
from alerts.sample import BUILD, CLAMPED, OFF, STARTED
from alerts.watched_shop import PHONE, body
from benchbell.bench.happenings import ClampsOff, Noted
from benchbell.durations import DAY_MS, HOUR_MS
from benchbell.store.connection import connect
from benchbell.store.database import prepare
from benchbell.store.tables import VERSIONS
from scene import NOON, OTHER, Clock, for_a_shop, for_one_machine, pair, send

FAR = 4_102_444_800_000
"""2100-01-01."""

BEYOND = 2**53 - 1
FORMS = ("log.json", "learned.json", "log.csv", "operations.csv", "log.pdf")


@pytest.fixture
def client(tmp_path):
    with for_one_machine(tmp_path) as client:
        yield client


def ids(answer):
    return [h["id"] for h in answer.json()["happenings"]]


def asked(client, path):
    return client.get(path, headers={"Device": PHONE})


def alarms(client):
    """Operations of the first build for whose clamps there is an alarm, and when."""
    found = client.blocking_portal.call(client.shop.clock_tracker.refresh)
    return [alarm.due for alarm in found if alarm.build == BUILD and alarm.stage == "off"]


@pytest.mark.parametrize("far", [NOON + DAY_MS + 1, FAR, BEYOND, 2**53])
def test_honest_entries_of_the_batch_are_kept_and_the_phone_learns_what_became_of_each(client, far):
    sent = [body(1, NOON, STARTED), body(2, far, CLAMPED), body(3, NOON, Noted("honest"))]
    answer = send(client, PHONE, sent)
    other = send(client, OTHER)

    assert (200, 3) == (answer.status_code, answer.json()["taken_to"])
    assert [json.loads(sent[1])["id"]] == answer.json()["early"]
    assert [json.loads(sent[0])["id"], json.loads(sent[2])["id"]] == ids(other)
    assert (NOON + DAY_MS, []) == (other.json()["latest_ms"], other.json()["early"])
    assert [{"device": PHONE, "entries": 1, "latest_ms": far}] == asked(client, "/records").json()["early"]


def test_what_waits_joins_by_itself_when_the_servers_clock_is_set_right(client):
    """A small computer without a battery began at Friday evening; the phone knew that it was Monday."""
    monday = NOON + 2 * DAY_MS
    send(client, PHONE, [body(1, NOON, STARTED), body(2, monday, CLAMPED)])
    before = ids(send(client, OTHER))
    client.settings.clock.ms = monday + 60_000
    client.blocking_portal.call(client.shop.scrubber.admit)

    assert 1 == len(before)
    assert 2 == len(ids(send(client, OTHER)))
    assert [monday + HOUR_MS] == alarms(client)


def test_a_server_whose_clock_was_set_back_goes_by_when_it_last_ran(tmp_path):
    with for_a_shop(tmp_path) as client:
        pair(client)
    clock = Clock()
    clock.ms = 0
    with for_a_shop(tmp_path, clock=clock) as client:
        assert NOON + DAY_MS == client.shop.latest_stamp()


def test_what_waits_is_recorded_again_when_a_person_says_that_the_servers_clock_is_right(client):
    send(client, PHONE, [body(1, NOON, STARTED), body(2, FAR, CLAMPED)])
    done = client.post("/records/redate", json={}, headers={"Device": PHONE})

    assert {"entries": 1} == done.json()
    assert [NOON + HOUR_MS] == alarms(client)
    assert [] == send(client, PHONE).json()["early"] == asked(client, "/records").json()["early"]


@pytest.fixture
def poisoned(tmp_path):
    """The server with a log that an older one took in: a clamping in 2100, and entries at the end of all numbers.

    A third build has none of them.
    """
    happened = [(NOON, STARTED), (FAR, CLAMPED), (BEYOND, Noted("far")), (BEYOND, CLAMPED)]
    db = connect(prepare(tmp_path / "data", VERSIONS[:4]))
    for n, (ms, what) in enumerate(happened, 1):
        build = BUILD if n < 4 else BUILD.replace("1", "3")
        raw = body(n, ms, what, build)
        h = msgspec.json.decode(raw)
        row = (PHONE, n, h["id"], build, h["what"]["kind"], raw)
        db.execute("INSERT INTO happening (device, n, id, build, kind, body) VALUES (?, ?, ?, ?, ?, ?)", row)
    for n, build in enumerate((BUILD.replace("1", "3"), BUILD.replace("1", "5")), 1):
        started = body(n, NOON, STARTED, build, OTHER)
        row = (OTHER, n, msgspec.json.decode(started)["id"], build, "started", started)
        db.execute("INSERT INTO happening (device, n, id, build, kind, body) VALUES (?, ?, ?, ?, ?, ?)", row)
    db.close()
    with for_one_machine(tmp_path) as client:
        yield client


@pytest.mark.parametrize("build", [BUILD, BUILD.replace("1", "3")])
def test_a_poisoned_log_is_read_and_exported(poisoned, build):
    for form in FORMS:
        answer = asked(poisoned, f"/builds/{build}/{form}")

        assert answer.status_code == 200, f"{form}: {answer.text}"
    assert 200 == (plan := asked(poisoned, "/plan")).status_code, plan.text
    feed = poisoned.put("/alerts/calendar", headers={"Device": PHONE}).json()["path"]
    assert 200 == poisoned.get(feed).status_code


def test_a_poisoned_log_has_clocks_and_rings_for_what_is_recorded_now(poisoned):
    first = alarms(poisoned)
    send(poisoned, OTHER, [body(3, NOON, CLAMPED, BUILD, OTHER)])

    assert [FAR + HOUR_MS] == first
    assert 1 == len(alarms(poisoned))


def test_a_poisoned_log_is_named_and_healed(poisoned):
    poisoned.blocking_portal.call(poisoned.shop.scrubber.make_pass, 0)
    named = asked(poisoned, "/records").json()["ahead"]
    poisoned.post("/records/redate", json={}, headers={"Device": PHONE})

    assert [{"build": BUILD, "entries": 2}, {"build": BUILD.replace("1", "3"), "entries": 1}] == named
    assert [NOON + HOUR_MS] == alarms(poisoned)
    assert [] == asked(poisoned, "/records").json()["ahead"]


def test_after_healing_clamps_come_off_as_usual(poisoned):
    poisoned.post("/records/redate", json={}, headers={"Device": PHONE})
    poisoned.settings.clock.ms = NOON + 2 * HOUR_MS
    send(poisoned, OTHER, [body(3, NOON + 2 * HOUR_MS, ClampsOff("A/glue"), BUILD, OTHER)])
    log = asked(poisoned, f"/builds/{BUILD}/log.json").json()

    assert [] == alarms(poisoned)
    assert [120.0] == [op["clamp_minutes"] for op in log["operations"] if op["id"] == OFF.operation]


def test_a_start_in_a_wrong_year_is_forgotten_once_a_clock_that_is_vouched_for_is_right(tmp_path):
    clock = Clock()
    clock.trusted = True
    with for_a_shop(tmp_path, clock=clock) as client:
        clock.set(4000 * DAY_MS)
        client.blocking_portal.call(client.shop.clock_tracker.check_clock)
        pair(client)
    with for_a_shop(tmp_path, clock=clock) as client:
        ahead = client.shop.latest_stamp()
        clock.set(-4000 * DAY_MS)
        client.blocking_portal.call(client.shop.clock_tracker.check_clock)
        assert (clock.ms + 4001 * DAY_MS, clock.ms + DAY_MS) == (ahead, client.shop.latest_stamp())


@pytest.fixture
def unvouched(tmp_path):
    """A server that began in a wrong year, by a clock that nothing vouches for, and was set right by hand."""
    clock = Clock()
    with for_a_shop(tmp_path, clock=clock) as client:
        clock.set(4000 * DAY_MS)
        client.blocking_portal.call(client.shop.clock_tracker.check_clock)
        pair(client)
    with for_a_shop(tmp_path, clock=clock) as client:
        clock.set(-4000 * DAY_MS)
        client.blocking_portal.call(client.shop.clock_tracker.check_clock)
        assert clock.ms + 4001 * DAY_MS == client.shop.latest_stamp()
        yield client


def test_a_start_in_a_wrong_year_is_forgotten_once_the_system_vouches_for_the_clock_as_it_is(unvouched):
    unvouched.settings.clock.trusted = True
    unvouched.blocking_portal.call(unvouched.shop.clock_tracker.check_clock)

    assert unvouched.settings.clock.ms + DAY_MS == unvouched.shop.latest_stamp()


def test_or_once_a_person_says_on_the_shop_screen_that_the_clock_is_right(unvouched):
    pair(unvouched)
    assert 200 == unvouched.post("/records/redate", json={}).status_code

    assert unvouched.settings.clock.ms + DAY_MS == unvouched.shop.latest_stamp()
