"""One byte of one entry is overwritten on the disk: what it concerns is named, and everything else goes on."""

import json
import sqlite3
from contextlib import closing

import pytest
from alerts.sample import BUILD, CLAMPED, STARTED
from alerts.watched_shop import PHONE, body
from benchbell.alerts import running_builds
from benchbell.durations import HOUR_MS, MINUTE_MS
from scene import NOON, OTHER, Clock, for_one_machine, send
from store.bit_rot import entry_ids, rot, rot_column

SECOND = "01970000-0000-7000-8000-000000000002"

TOLD = [
    *((NOON, STARTED, build) for build in (BUILD, SECOND)),
    *((NOON, CLAMPED, build) for build in (BUILD, SECOND)),
]
SENT = [body(n, ms, what, build) for n, (ms, what, build) in enumerate(TOLD, 1)]
LATER = NOON + HOUR_MS + MINUTE_MS


@pytest.fixture
def data(tmp_path):
    """A data folder in which two builds stand in clamps, and no server."""
    with for_one_machine(tmp_path) as client:
        assert send(client, PHONE, SENT).status_code == 200
    return tmp_path / "data"


def server(data, ms=LATER):
    """The server in this folder, at a later moment."""
    clock = Clock()
    clock.ms = ms
    return for_one_machine(data.parent, clock=clock)


def ringing(client):
    """Builds for which something is due, by the server's own reckoning."""
    alarms = client.blocking_portal.call(client.shop.clock_tracker.refresh)
    return {alarm.build for alarm in alarms if alarm.stage == "off" and alarm.at <= LATER}


def scrubbed(client):
    """What the Shop screen shows of the records, after everything was checked once."""
    client.blocking_portal.call(client.shop.scrubber.make_pass, 0)
    return client.get("/records", headers={"Device": PHONE}).json()


def clamping(data):
    """The id of the first build's second entry."""
    return entry_ids(data, "clamped")[0]


PLACES = [b"{", b'"id"', b'"n"', b'"at"', b'"ms":17', b'"build"', b'"what"', b'"kind"', b'"operation"', b"A/glue"]


@pytest.mark.parametrize(
    ("place", "byte"),
    [*((place, b"\x00") for place in PLACES), (b"A/glue", b"\xff"), (b"A/glue", b"B"), (b"A/glue", b"\x1e")],
)
def test_alarms_of_all_other_builds_ring_and_new_phones_get_all_other_entries(data, place, byte):
    rot(data, clamping(data), place, byte)
    with server(data) as client:
        answer = send(client, OTHER)
        came = answer.json()

        assert SECOND in ringing(client)
        assert client.get("/plan", headers={"Device": PHONE}).status_code == 200
        assert [json.loads(one)["id"] for n, one in enumerate(SENT) if n != 2] == [h["id"] for h in came["happenings"]]
        assert (4, False) == (came["position"], came["more"])
        assert [{"id": json.loads(SENT[2])["id"], "build": BUILD}] == came["damaged"]


def test_the_shop_screen_names_the_build_and_how_many_entries(data):
    rot(data, clamping(data), b"A/glue")
    with server(data) as client:
        shown = scrubbed(client)

    assert [{"build": BUILD, "entries": 1, "beginning": False}] == shown["damaged"]
    assert (4, 4, LATER) == (shown["entries"], shown["of"], shown["passed_ms"])


def test_a_build_whose_beginning_is_damaged_is_named_and_the_others_ring(data):
    rot(data, entry_ids(data, "started")[0], b'"n"')
    with server(data) as client:
        assert {SECOND} == ringing(client)
        assert [{"build": BUILD, "entries": 1, "beginning": True}] == scrubbed(client)["damaged"]


def test_a_phone_that_has_the_entry_heals_it_and_every_other_phone_gets_it(data):
    rot(data, clamping(data), b"A/glue")
    with server(data) as client:
        send(client, OTHER)
        healing = json.dumps({"page": 2, "after": 4, "happenings": [], "healing": [json.loads(SENT[2])]})
        healed = client.post("/sync", content=healing, headers={"Device": PHONE}).json()
        came = send(client, OTHER, after=4).json()

        assert [] == healed["damaged"] == came["damaged"]
        assert [json.loads(SENT[2])] == came["happenings"]
        assert {BUILD, SECOND} == ringing(client)
        assert [] == scrubbed(client)["damaged"]


def test_a_copy_that_is_of_something_else_heals_nothing(data):
    rot(data, clamping(data), b"A/glue")
    other = {**json.loads(SENT[2]), "build": SECOND}
    with server(data) as client:
        send(client, OTHER)
        asked = json.dumps({"page": 2, "after": 4, "happenings": [], "healing": [other, json.loads(SENT[3])]})
        answer = client.post("/sync", content=asked, headers={"Device": PHONE}).json()

    assert [json.loads(SENT[2])["id"]] == [one["id"] for one in answer["damaged"]]


@pytest.mark.parametrize(("column", "value"), [("build", "gone"), ("kind", "noted"), ("n", 99)])
def test_a_column_that_only_finds_the_entry_is_put_right_from_its_bytes(data, column, value):
    id = clamping(data)
    rot_column(data, id, column, value)
    with server(data) as client:
        assert [] == scrubbed(client)["damaged"]
    with server(data) as client:
        assert {BUILD, SECOND} == ringing(client)
        assert send(client, PHONE, SENT).json()["taken_to"] == 4


def test_a_column_is_put_right_beside_an_entry_whose_bytes_are_damaged(data):
    one, other = entry_ids(data, "clamped")
    rot(data, one, b"{")
    rot_column(data, one, "kind", "noted")
    rot_column(data, other, "build", "gone")
    with server(data) as client:
        shown = scrubbed(client)["damaged"]
    with server(data) as client:
        assert {SECOND} == ringing(client)
    assert [BUILD] == [build["build"] for build in shown]


def test_a_damaged_index_is_made_again(data):
    whole = (data / "benchbell.db").read_bytes()
    name = BUILD.encode()
    row = whole.index(SENT[2][:40])
    places = [n for n in range(len(whole)) if whole.startswith(name, n)]
    index = next(n for n in places if whole[n + len(name)] < 32 and abs(n - row) > 4096)
    (data / "benchbell.db").write_bytes(whole[:index] + b"9" + whole[index + 1 :])
    with server(data) as client:
        shown = scrubbed(client)

        assert "" == shown["file"]
    with server(data) as client:
        assert {BUILD, SECOND} == ringing(client)


def test_a_build_whose_clocks_fail_silences_no_other(data, monkeypatch):
    real = running_builds.running_of

    def failing(build, *rest):
        if build == BUILD:
            raise ZeroDivisionError("a sheet that nobody foresaw")
        return real(build, *rest)

    monkeypatch.setattr(running_builds, "running_of", failing)
    with server(data) as client:
        assert {SECOND} == ringing(client)
        assert [BUILD] == scrubbed(client)["failed"]
        assert client.get("/plan", headers={"Device": PHONE}).status_code == 200


def test_a_calendar_entry_that_rotted_does_not_silence_the_alarms(data):
    with server(data, NOON) as client:
        ringing(client)
    with closing(sqlite3.connect(data / "benchbell.db", isolation_level=None)) as db:
        assert db.execute("UPDATE calendar_entry SET body = CAST('{\"entry' AS BLOB)").rowcount
    with server(data) as client:
        assert {BUILD, SECOND} == ringing(client)


def test_the_builds_log_is_told_without_the_entry(data):
    rot(data, clamping(data), b"A/glue")
    with server(data) as client:
        for form in ("log.json", "log.csv", "log.pdf"):
            assert client.get(f"/builds/{BUILD}/{form}", headers={"Device": PHONE}).status_code == 200
