"""A size, or a reading, that no workshop has: refused when it comes, left out where an older server has taken it."""

import json

import pytest
from alerts.sample import BUILD, STARTED
from benchbell.bench.happenings import Clamped, Conditions, Measured, Noted
from benchbell.planner import open_builds
from benchbell.recipe.measure import MOST_VALUE
from scene import NOON, PHONE, encoded, for_one_machine, id7, send

OTHER_BUILD = id7(77)
BEYOND = [
    Measured("x", "", 1e308),
    Measured("x", "", -2 * MOST_VALUE),
    Conditions(1e300),
    Conditions(20.0, 1e10),
]


@pytest.fixture
def client(tmp_path):
    with for_one_machine(tmp_path) as client:
        yield client


def happening(n, what, build=BUILD):
    return encoded(n, NOON + n, what, build)


def in_log(client, *bodies):
    """Put bodies into the log as an older server would have."""
    client.blocking_portal.call(client.shop.records.take, PHONE, bodies)


@pytest.mark.parametrize("what", BEYOND)
def test_it_is_refused_and_nothing_of_its_batch_is_kept(client, what):
    answer = send(client, PHONE, [happening(1, Noted("before")), happening(2, what)])

    assert answer.status_code == 400
    assert "must be -1000000000 to 1000000000" in answer.json()["error"]["what"]
    assert send(client, PHONE).json()["taken_to"] == 0


@pytest.mark.parametrize("what", [Measured("x", "", MOST_VALUE), Conditions(-40.0, 0.0)])
def test_what_a_workshop_may_have_is_taken(client, what):
    assert send(client, PHONE, [happening(1, what)]).status_code == 200


def test_in_an_old_log_it_is_counted_and_left_out_while_plan_and_log_go_on(client):
    in_log(client, happening(1, STARTED), *(happening(n, what) for n, what in enumerate(BEYOND, 2)))
    client.blocking_portal.call(client.shop.scrubber.make_pass, 0)
    headers = {"Device": PHONE}

    assert client.get("/records", headers=headers).json()["unreadable"] == [{"build": BUILD, "entries": len(BEYOND)}]
    assert client.get("/plan", headers=headers).json()["unplanned"] == []
    for form in ("log.json", "log.csv", "log.pdf"):
        assert client.get(f"/builds/{BUILD}/{form}", headers=headers).status_code == 200
    assert json.loads(client.get(f"/builds/{BUILD}/log.json").content)["sizes"] == []


def test_a_kind_from_a_newer_page_is_not_counted_as_unreadable(client):
    newer = happening(2, Clamped("x")).replace(b'"clamped"', b'"of-next-year"')
    in_log(client, happening(1, STARTED), newer)
    client.blocking_portal.call(client.shop.scrubber.make_pass, 0)

    assert client.get("/records", headers={"Device": PHONE}).json()["unreadable"] == []


def test_a_build_that_fails_is_named_as_not_planned_and_the_others_are_planned(client, monkeypatch):
    for id in (BUILD, OTHER_BUILD):
        client.post("/builds", json={"id": id, "recipe": "hall-bench", "pieces": 1, "name": "For the hall"})
    whole = open_builds.open_build

    def failing(id, *rest):
        if id == BUILD:
            raise OverflowError("cannot convert float infinity to integer")
        return whole(id, *rest)

    monkeypatch.setattr(open_builds, "open_build", failing)
    plan = client.get("/plan", headers={"Device": PHONE}).json()

    assert [(one["build"], one["operation"]) for one in plan["unplanned"]] == [(BUILD, "")]
    assert {step["build"] for step in plan["steps"]} == {OTHER_BUILD}
