"""The round trip: what is taken, what is given, and what is said when it cannot be."""

import json
import re
import shutil
import sqlite3
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing

import pytest
from benchbell.store.backup import back_up
from benchbell.store.database import FILE_NAME
from benchbell.store.restore import restore
from benchbell.web.messages import MOST_HAPPENINGS, OLDEST_PAGE, WIRE
from scene import NOON, OTHER, PHONE, bodies, body, for_one_machine, id7, send

THIRD = "c" * 16


@pytest.fixture
def client(tmp_path):
    with for_one_machine(tmp_path) as client:
        yield client


def came(answer) -> list[bytes]:
    """The happenings of an answer, to the letter."""
    inside = re.search(rb'"happenings":\[(.*)\],"position"', answer.content, re.DOTALL)[1]
    decoder, text, found = json.JSONDecoder(), inside.decode(), []
    while text:
        _, end = decoder.raw_decode(text)
        found.append(text[:end].encode())
        text = text[end:].lstrip(",")
    return found


def test_another_phone_gets_every_happening_to_the_letter(client):
    sent = [*bodies(1, 2), body(3, kind="a-kind-of-next-year")]
    send(client, PHONE, sent)

    assert sent == came(send(client, OTHER))


def test_a_phone_does_not_get_back_what_it_just_sent(client):
    send(client, OTHER, bodies(1, 1, OTHER))
    answer = send(client, PHONE, bodies(1, 2))

    assert bodies(1, 1, OTHER) == came(answer)
    assert (2, 3, False, NOON) == tuple(answer.json()[k] for k in ("taken_to", "position", "more", "server_time"))


def test_a_lost_answer_costs_a_repeat_and_nothing_else(client):
    send(client, PHONE, bodies(1, 2))
    again = send(client, PHONE, bodies(1, 3))

    assert 3 == again.json()["taken_to"]
    assert bodies(1, 3) == came(send(client, OTHER))


def test_a_restored_phone_gets_its_own_back(client):
    send(client, PHONE, bodies(1, 5))

    assert bodies(3, 5) == came(send(client, PHONE, after=2))


def test_two_phones_are_told_how_to_go_on_and_lose_nothing(client):
    send(client, PHONE, bodies(1, 3))
    copied = [body(3, id=id7(50)), body(4, id=id7(51))]
    refused = send(client, PHONE, copied)
    error = refused.json()["error"]
    known = {json.loads(one)["id"] for one in came(send(client, PHONE))}
    waiting = [one for one in copied if json.loads(one)["id"] not in known]
    renumbered = [body(error["taken_to"] + 1 + i, id=json.loads(one)["id"]) for i, one in enumerate(waiting)]

    assert (409, "two-phones", 3) == (refused.status_code, error["kind"], error["taken_to"])
    assert 5 == send(client, PHONE, renumbered).json()["taken_to"]


def test_what_a_copied_phone_has_not_sent_yet_is_not_called_taken(client):
    send(client, PHONE, bodies(1, 5))
    first = send(client, PHONE, bodies(1, 4)).json()
    own = [body(5, id=id7(50))]

    assert 4 == first["taken_to"]
    assert "two-phones" == send(client, PHONE, own).json()["error"]["kind"]


def test_a_gap_tells_where_to_begin_again(client):
    send(client, PHONE, bodies(1, 2))
    refused = send(client, PHONE, bodies(5, 6))

    assert 409 == refused.status_code
    assert {
        "what": f"Device {PHONE} sent number 5, but 3 is not here yet.",
        "next_step": "Send again from 3.",
        "kind": "gap",
        "taken_to": 2,
    } == refused.json()["error"]


@pytest.mark.parametrize(
    ("page", "kind", "what", "order"),
    [
        (0, "page-too-old", f"the server supports {OLDEST_PAGE} to {WIRE}", "Reload the page"),
        (WIRE + 1, "server-too-old", f"the server knows only {WIRE}", "Update Benchbell on the server"),
    ],
)
def test_who_is_too_old_is_said_by_name_and_nothing_is_taken(client, page, kind, what, order):
    refused = send(client, PHONE, bodies(1, 1), page=page)

    assert (409, kind) == (refused.status_code, refused.json()["error"]["kind"])
    assert refused.json()["error"]["what"] == f"This page uses version {page}; {what}."
    assert refused.json()["error"]["next_step"] == f"{order}; unsent work stays on this phone."
    assert [] == came(send(client, OTHER))


@pytest.mark.parametrize(
    ("happenings", "status", "sentence"),
    [
        pytest.param(bodies(1, MOST_HAPPENINGS), 200, None, id="500 are taken"),
        pytest.param(
            bodies(1, MOST_HAPPENINGS + 1),
            413,
            "The batch holds 501 happenings; at most 500 are accepted at once. Send it in smaller parts.",
            id="501 are too many",
        ),
        pytest.param(
            [body(1, text="x" * 2_000_000)],
            413,
            "The request is larger than this address accepts. Send it in smaller parts.",
            id="more than 2 MB are too much",
        ),
    ],
)
def test_a_batch_has_a_largest_size(client, happenings, status, sentence):
    answer = send(client, PHONE, happenings)

    assert status == answer.status_code
    if sentence:
        error = answer.json()["error"]
        assert (sentence, "too-large") == (f"{error['what']} {error['next_step']}", error["kind"])


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b'{"page":2}',
        b'{"page":2,"after":-1,"happenings":[]}',
        b'{"page":2,"after":9007199254740992}',
        b'{"page":2,"after":0,"happenings":{}}',
        b'{"page":2,"after":0,"happenings":[1]}',
        b'{"page":2,"after":0,"happenings":[{"id":"\xff"}]}',
        b'{"page":2,"after":0,"happenings":[' + b"[" * 50_000 + b"]" * 50_000 + b"]}",
        b'{"page":2,"after":0,"happenings":[{"n":NaN}]}',
        b"\x00\x01",
    ],
)
def test_a_body_that_is_not_of_its_form_is_refused_with_a_sentence(client, content):
    refused = client.post("/sync", content=content, headers={"Device": PHONE})

    assert 400 == refused.status_code
    assert refused.json()["error"]["what"].endswith(".")


def test_of_much_damage_a_phone_is_told_the_first_fifty_entries(tmp_path):
    with for_one_machine(tmp_path) as client:
        send(client, PHONE, bodies(1, 55))
    with closing(sqlite3.connect(tmp_path / "data" / FILE_NAME)) as db, db:
        db.execute("UPDATE happening SET body = CAST(replace(body, 'note', 'nite') AS BLOB)")
    with for_one_machine(tmp_path) as client:
        client.blocking_portal.call(client.shop.scrubber.make_pass, 0)
        damaged = send(client, PHONE).json()["damaged"]

    assert [id7(place) for place in range(1, 51)] == [one["id"] for one in damaged]


def test_a_long_way_behind_comes_in_stretches(client):
    for first in range(1, 2400, 400):
        send(client, PHONE, bodies(first, first + 399))
    got, after, more, rounds = [], 0, True, 0
    while more:
        answer = send(client, OTHER, after=after)
        got, after, more, rounds = [*got, *came(answer)], answer.json()["position"], answer.json()["more"], rounds + 1

    assert (bodies(1, 2400), 3) == (got, rounds)


def test_phones_that_sync_at_the_same_time_all_see_the_same_book(client):
    def phone(device):
        for n in range(1, 41, 4):
            assert send(client, device, bodies(n, n + 3, device)).status_code == 200

    devices = [PHONE, OTHER, THIRD, "d" * 16]
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(phone, devices))
    everything = came(send(client, "e" * 16))

    assert sorted(everything) == sorted(one for device in devices for one in bodies(1, 40, device))
    for device in devices:
        mine = [one for one in everything if json.loads(one)["at"]["device"] == device]
        assert bodies(1, 40, device) == mine


def test_a_restored_server_is_noticed_and_given_again_what_it_lacks(tmp_path):
    with for_one_machine(tmp_path) as client:
        first = send(client, PHONE, bodies(1, 3))
        back_up(client.settings.data, tmp_path / "copy.zip")
        last = send(client, PHONE, bodies(4, 6), after=first.json()["position"])
        seen = send(client, OTHER)
    restored = tmp_path / "restored"
    restore(tmp_path / "copy.zip", restored / "data")
    with for_one_machine(restored) as client:
        log_epoch, after = seen.json()["log_epoch"], seen.json()["position"]
        answer = send(client, OTHER, after=after, log_epoch=log_epoch)
        behind = send(client, PHONE, after=last.json()["position"], log_epoch=log_epoch).json()
        again = send(
            client, PHONE, bodies(behind["taken_to"] + 1, 6), after=behind["position"], log_epoch=behind["log_epoch"]
        )
        rest = send(client, OTHER, after=answer.json()["position"], log_epoch=answer.json()["log_epoch"])

    assert log_epoch == last.json()["log_epoch"] != answer.json()["log_epoch"] == behind["log_epoch"]
    assert (3, 6) == (behind["taken_to"], again.json()["taken_to"])
    assert bodies(1, 6) == came(answer) + came(rest)


def test_an_earlier_state_of_the_disk_that_was_put_back_is_noticed_though_it_grew_again(tmp_path):
    with for_one_machine(tmp_path) as client:
        send(client, PHONE, bodies(1, 2))
    shutil.copytree(tmp_path / "data", tmp_path / "image")
    with for_one_machine(tmp_path) as client:
        before = send(client, PHONE, bodies(3, 5)).json()
    shutil.rmtree(tmp_path / "data")
    (tmp_path / "image").rename(tmp_path / "data")
    with for_one_machine(tmp_path) as client:
        send(client, OTHER, bodies(1, 9, OTHER))
        reader = send(client, OTHER, after=before["position"], log_epoch=before["log_epoch"]).json()
        known = {"log_epoch": before["log_epoch"], "confirmed": 5}
        phone = send(client, PHONE, after=before["position"], **known).json()
        again = send(client, PHONE, after=before["position"], **known | {"log_epoch": phone["log_epoch"]}).json()

    assert before["log_epoch"] == reader["log_epoch"] != phone["log_epoch"] == again["log_epoch"]
    assert 11 == len(phone["happenings"])
    assert 2 == phone["taken_to"]


def test_without_a_device_nothing_is_taken(client):
    assert 401 == send(client, "", bodies(1, 1)).status_code
    assert 401 == send(client, "0" * 16, bodies(1, 1)).status_code
    assert 401 == send(client, "Z" * 16, bodies(1, 1)).status_code
