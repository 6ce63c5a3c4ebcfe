"""Codes, tokens, and devices that are not welcome any more."""

import asyncio
import json
import sqlite3
from contextlib import closing

import pytest
from benchbell.findings import Refused
from benchbell.recipe.label_code import read_code, show_code
from benchbell.store.database import FILE_NAME
from benchbell.store.devices import CODE_MS
from benchbell.store.sqlite_records import ask_records
from benchbell.web import limits
from scene import bodies, body, for_a_shop, for_one_machine, pair, pairing_code
from structlog.testing import capture_logs


@pytest.fixture
def client(tmp_path):
    with for_a_shop(tmp_path) as client:
        yield client


def tried(client, code, name="phone"):
    return client.post("/pair", json={"code": code, "name": name})


def kind(answer):
    return answer.json()["error"]["kind"]


def sync(client, happenings):
    return client.post("/sync", content=b'{"page":2,"after":0,"happenings":[' + b",".join(happenings) + b"]}")


def test_a_code_pairs_one_device_once(client):
    code = pairing_code(client)

    first, second = tried(client, code), tried(client, code)

    assert 200 == first.status_code
    assert (403, "wrong-code") == (second.status_code, kind(second))


def test_a_code_can_be_typed_as_it_is_shown_in_either_case(client):
    code = pairing_code(client)

    assert read_code(show_code(code)) == code
    assert 200 == tried(client, show_code(code).lower().replace("0", "o").replace("-", " ")).status_code


def test_a_code_is_good_for_ten_minutes(client):
    early, late = pairing_code(client), pairing_code(client)
    client.settings.clock.ms += CODE_MS

    assert 200 == tried(client, early).status_code

    client.settings.clock.ms += 1

    assert "wrong-code" == kind(tried(client, late))


def test_many_wrong_codes_make_nobody_wait(client):
    code = pairing_code(client)
    wrong = [tried(client, "00000000") for _ in range(60)]

    assert {(403, "wrong-code")} == {(answer.status_code, kind(answer)) for answer in wrong}
    assert 200 == tried(client, code).status_code


def test_a_code_that_was_guessed_at_too_often_is_refused_and_a_fresh_one_pairs_at_once(client, monkeypatch):
    monkeypatch.setattr(limits, "MOST_WRONG_OF_ONE", 5)
    code = pairing_code(client)
    for _ in range(5):
        tried(client, "00000000")
    refused = tried(client, code)
    fresh = tried(client, pairing_code(client))

    assert (429, "too-many", "600") == (refused.status_code, kind(refused), refused.headers["retry-after"])
    assert "Too many wrong codes were tried." == refused.json()["error"]["what"]
    assert refused.json()["error"]["next_step"].startswith("Show a new code, on the server with benchbell pair")
    assert 200 == fresh.status_code


def test_a_guesser_does_not_fill_the_log(client, monkeypatch):
    pairing_code(client)
    with capture_logs() as logged:
        for _ in range(150):
            tried(client, "00000000")

    assert [1, 10, 100] == [line["count"] for line in logged]


def test_the_token_is_in_a_cookie_no_script_or_other_site_gets(client):
    cookie = tried(client, pairing_code(client)).headers["set-cookie"]
    parts = {part.strip().lower() for part in cookie.split(";")[1:]}

    assert cookie.startswith("__Host-benchbell=")
    assert {"httponly", "secure", "samesite=strict", "path=/", "max-age=34560000"} == parts


def test_neither_codes_nor_tokens_are_in_the_file(client):
    spent, code = pairing_code(client), pairing_code(client)
    tried(client, spent)
    token = client.cookies["__Host-benchbell"]
    with sqlite3.connect(client.settings.data / FILE_NAME) as db:
        dumped = "\n".join(db.iterdump())

    assert 'INSERT INTO "device"' in dumped
    for secret in (spent, code, token):
        assert secret not in dumped
        assert secret.encode().hex() not in dumped.lower()


def test_the_cookie_is_renewed_while_the_device_is_used(client):
    pair(client)
    first = sync(client, [])
    client.settings.clock.ms += 60_000
    second = sync(client, [])

    assert "set-cookie" not in first.headers
    assert "max-age=34560000" in second.headers["set-cookie"].lower()


def test_the_list_tells_when_each_was_last_seen_and_which_one_asks(client):
    pair(client, "old tablet")
    client.settings.clock.ms += 3_600_000
    device = pair(client, "bench phone")
    lines = {line["name"]: line for line in client.get("/devices").json()["devices"]}

    assert {"old tablet": False, "bench phone": True} == {name: line["this"] for name, line in lines.items()}
    assert 3_600_000 == lines["bench phone"]["seen_ms"] - lines["old tablet"]["seen_ms"]
    assert device == lines["bench phone"]["id"]


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ("  my\tphone\n", "my phone"),
        ("", "device"),
        ("\x00\x1b[31m\u202ered", "[31m red"),
        ("<script>", "<script>"),
        ("x" * 120, "x" * 60),
    ],
)
def test_a_name_is_one_line_of_printable_characters(client, given, kept):
    assert kept == tried(client, pairing_code(client), given).json()["name"]


def test_two_devices_do_not_share_a_name(client):
    names = [tried(client, pairing_code(client), "phone").json()["name"] for _ in range(3)]

    assert ["phone", "phone 2", "phone 3"] == names


def test_a_lost_phones_work_is_kept_to_the_letter_and_taken_when_a_person_says_so(client):
    device = pair(client, "lost phone")
    sync(client, bodies(1, 2, device))
    client.post(f"/devices/{device}/revoke")
    late = [body(3, device, kind="a-kind-of-next-year"), *bodies(4, 5, device)]
    refusals = [sync(client, late) for _ in range(3)]
    empty = sync(client, []).json()["error"]
    data = client.settings.data
    with closing(sqlite3.connect(data / FILE_NAME)) as db:
        batches = db.execute("SELECT count(*) FROM quarantine").fetchone()[0]
    aside = ask_records(data, lambda records: records.quarantined_from(device))
    taken = ask_records(data, lambda records: records.accept_quarantined(device))
    client.cookies.clear()
    pair(client, "new phone")
    came = [json.dumps(h) for h in sync(client, []).json()["happenings"]]

    assert {(403, "revoked")} == {(answer.status_code, kind(answer)) for answer in refusals}
    assert "lost phone was revoked; its 3 happenings are kept for review." == refusals[0].json()["error"]["what"]
    assert "lost phone was revoked." == empty["what"]
    assert empty["next_step"].startswith("Pair it again to go on. Unsent work stays on it")
    assert 1 == batches  # the same again and what holds nothing take no room
    assert late == aside
    assert (3, 5) == (taken, len(came))


def test_what_a_phone_paired_anew_sends_by_itself_is_kept_aside_no_longer(client):
    old = pair(client, "lost phone")
    client.post(f"/devices/{old}/revoke")
    sync(client, bodies(1, 3, old))
    client.cookies.clear()
    pair(client, "lost phone")
    sync(client, bodies(1, 2, old))
    data = client.settings.data

    assert bodies(3, 3, old) == ask_records(data, lambda records: records.quarantined_from(old))
    with pytest.raises(Refused, match="Pair the device again"):
        ask_records(data, lambda records: records.accept_quarantined(old))

    sync(client, bodies(3, 3, old))

    assert [] == ask_records(data, lambda records: records.quarantined_from(old))
    with pytest.raises(Refused, match="Nothing of this device is kept aside"):
        ask_records(data, lambda records: records.accept_quarantined(old))


NONSENSE = [b"7", b'{"id": 7}', b'{"id": "no id"}']


def test_nonsense_of_a_stolen_phone_is_listed_and_does_not_keep_its_honest_work_out(client):
    device = pair(client, "stolen phone")
    client.post(f"/devices/{device}/revoke")
    sync(client, [NONSENSE[0], *bodies(1, 2, device), *NONSENSE[1:]])
    sync(client, bodies(3, 3, device))
    client.cookies.clear()
    pair(client, "mine")
    listed = client.get("/devices").json()["devices"]
    data = client.settings.data
    taken = ask_records(data, lambda records: records.accept_quarantined(device))

    assert [6] == [one["aside"] for one in listed if one["id"] == device]
    assert 3 == taken
    assert NONSENSE == ask_records(data, lambda records: records.quarantined_from(device))
    with pytest.raises(Refused, match=r"None of 3 entries of stolen phone can be read as a happening. Look at them"):
        ask_records(data, lambda records: records.accept_quarantined(device))
    assert 3 == ask_records(data, lambda records: records.discard_quarantined(device))
    assert [] == ask_records(data, lambda records: records.quarantined_from(device))


def test_millions_of_small_numbers_are_refused_and_hold_nobody(client):
    device = pair(client, "stolen phone")
    client.post(f"/devices/{device}/revoke")
    refused = sync(client, [b"0"] * 900_000)

    assert (413, "too-large") == (refused.status_code, kind(refused))
    assert "The batch holds 900000 happenings; at most 500 are accepted at once." == refused.json()["error"]["what"]
    assert [] == ask_records(client.settings.data, lambda records: records.quarantined_from(device))


def test_of_a_revoked_phone_few_requests_are_read(client):
    device = pair(client)
    client.post(f"/devices/{device}/revoke")
    kinds = [kind(sync(client, bodies(n, n, device))) for n in range(1, 13)]
    client.settings.clock.ms += 5_000
    later = kind(sync(client, bodies(11, 11, device)))

    assert [*["revoked"] * 10, "too-many", "too-many"] == kinds
    assert "revoked" == later


def test_a_revoked_phone_cannot_fill_the_disk(client):
    device = pair(client)
    client.post(f"/devices/{device}/revoke")
    sizes = []
    for n in range(1, 15):
        client.settings.clock.ms += 10_000
        answer = sync(client, [body(n, device, text="x" * 1_900_000)])
        sizes.append("no room left" in answer.json()["error"]["what"])

    assert [False] * 10 + [True] * 4 == sizes


def test_the_revoke_route_ends_the_devices_streams_and_no_other(client):
    other, device = pair(client, "other"), pair(client, "phone")
    listeners, mine, its = client.shop.listeners, asyncio.Event(), asyncio.Event()
    listeners.add(its, other)
    listeners.add(mine, device)
    client.post(f"/devices/{device}/revoke")

    assert ({mine}, True, False) == (listeners.ended, mine.is_set(), its.is_set())


def test_a_device_that_is_revoked_hears_no_more_nudges(client):
    device = pair(client)
    listeners = client.shop.listeners

    async def first_then_end():
        stream = listeners.nudges(device)
        first = await anext(stream)
        listeners.disconnect(device)
        return first.event, [message async for message in stream]

    assert ("nudge", []) == client.blocking_portal.call(first_then_end)


def test_a_paired_phone_shows_the_code_for_the_next_one(client):
    pair(client)
    shown = client.post("/devices/code").json()
    client.cookies.clear()

    assert f"https://bench.local:8443/pair#{shown['code']}" == shown["address"]
    assert shown["until_ms"] == client.settings.clock.ms + CODE_MS
    assert {len(shown["rows"])} == {len(row) for row in shown["rows"]}
    assert 200 == tried(client, shown["code"]).status_code


def test_serve_local_needs_no_pairing_and_says_so(tmp_path):
    with for_one_machine(tmp_path) as client:
        device_row = client.get("/device", headers={"Device": "ab" * 8}).json()
        refused = tried(client, "00000000")

    assert {"device": "ab" * 8, "name": "this machine", "local": True} == device_row
    assert "This server is for this machine only." == refused.json()["error"]["what"]
