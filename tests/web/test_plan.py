"""The plan over the network, and the process that thinks it out."""

import asyncio
import os
import signal
from datetime import UTC, datetime

import pytest
from benchbell.bench.happenings import Began, Kept, Noted
from benchbell.durations import DAY_MS
from benchbell.plan.report.messages import WhatIf
from benchbell.planner import process
from msgspec.structs import replace
from scene import NOON, PHONE, encoded, for_one_machine, id7, send

BUILD = id7(77)
HOUR = 3_600_000


@pytest.fixture
def client(tmp_path):
    with for_one_machine(tmp_path) as client:
        send(client, PHONE, [happening(1, Kept("zone", "Etc/UTC"), build="")])
        yield client


def happening(n, what, build=BUILD):
    return encoded(n, NOON + n, what, build)


def start(client, id=BUILD):
    answer = client.post("/builds", json={"id": id, "recipe": "hall-bench", "pieces": 2, "name": "For the hall"})
    assert answer.status_code == 200


def plan(client):
    answer = client.get("/plan")
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_nothing_open_is_no_plan(client):
    assert client.get("/plan").status_code == 204


def test_every_operation_of_an_open_build_is_in_the_plan_within_the_hours(client):
    start(client)
    presented = plan(client)
    afterwards = [step for step in presented["steps"] if step["act"] != "work"]

    assert presented["made_at"] == NOON
    assert presented["hours"][0] == [NOON, NOON + 5 * HOUR]  # a Tuesday noon; the usual hours end at five
    assert len(presented["steps"]) - len(afterwards) == len({step["operation"] for step in presented["steps"]})
    assert {forecast["build"] for forecast in presented["forecasts"]} == {BUILD}
    assert all(any(a <= step["setup_at"] < b for a, b in presented["hours"]) for step in presented["steps"])


def test_an_unchanged_bench_has_an_unchanged_plan_and_a_note_changes_nothing(client):
    start(client)
    first = client.get("/plan")
    send(client, PHONE, [happening(2, Noted("Nice figure in this board."))])
    second = client.get("/plan", headers={"If-None-Match": first.headers["etag"]})

    assert (second.status_code, second.content) == (304, b"")


def test_what_was_begun_leads_the_next_plan(client):
    start(client)
    other = next(step for step in plan(client)["steps"][1:] if step["act"] == "work")
    send(client, PHONE, [happening(2, Began(other["operation"]))])
    first = plan(client)["steps"][0]

    assert first["operation"] == other["operation"]
    assert first["reason"] == "In hand: finish it first."


def test_a_plan_goes_stale_when_nothing_is_done(client):
    start(client)
    plan(client)
    client.settings.clock.ms += HOUR

    assert plan(client)["made_at"] == NOON + HOUR


def test_a_promised_day_is_in_the_forecast(client):
    start(client)
    due = NOON + 400 * HOUR
    send(client, PHONE, [happening(2, Kept(f"due/{BUILD}", {"by": due}), build="")])

    assert plan(client)["forecasts"][0]["due"] == due


@pytest.mark.parametrize("kept", [Kept("hours", "nine to five"), Kept(f"due/{BUILD}", "soon"), Kept("clamps", "many")])
def test_settings_that_say_nothing_count_as_not_kept(client, kept):
    start(client)
    send(client, PHONE, [happening(2, kept, build="")])

    assert plan(client)["forecasts"][0]["due"] is None


def test_what_if_tells_the_difference_in_a_sentence(client):
    start(client)
    send(client, PHONE, [happening(2, Kept("clamps", {"parallel jaw": 4, "heavy F": 6}), build="")])
    answer = client.post("/plan/what-if", json={"clamps": {"parallel jaw": 8, "heavy F": 6}, "saturday": True})

    assert answer.status_code == 200, answer.text
    assert answer.json()["sentence"].startswith(
        "With 8 more parallel jaw clamps and 6 more heavy F clamps and Saturday"
    )


def test_what_if_goes_on_from_the_plan_that_stands_however_few_tries_there_are(client, monkeypatch):
    start(client)
    send(client, PHONE, [happening(2, Kept("clamps", {"parallel jaw": 4}), build="")])
    stands = plan(client)
    question = client.blocking_portal.call(client.shop.current_plan.question)
    monkeypatch.setattr(process, "tries_for", lambda operations: 1)
    found = process.answer(replace(question, what=WhatIf(clamps={"parallel jaw": 2}))).difference

    assert found.finish <= stands["finish"]
    assert found.finish + found.sooner_ms == stands["finish"]


PEOPLE = [{"name": "Anna"}, {"name": "Otto", "unable": ["table saw"], "away": [{"from": "2026-12-08"}]}]


def test_with_people_in_the_settings_the_plan_says_who_does_what(client):
    start(client)
    send(client, PHONE, [happening(2, Kept("people", PEOPLE), build="")])
    steps = plan(client)["steps"]

    assert {step["hand"] for step in steps} == {"Anna", "Otto"}
    assert {step["hand"] for step in steps if step["station"] == "table saw" and step["act"] == "work"} == {"Anna"}


def test_one_more_pair_of_hands_than_the_people_is_no_day_later(client):
    """Minutes may be given up for fewer faults of craft on the same day."""
    start(client)
    send(client, PHONE, [happening(2, Kept("people", PEOPLE), build="")])
    found = client.post("/plan/what-if", json={"hands": 3}).json()

    assert found["finish"] // DAY_MS <= (found["finish"] + found["sooner_ms"]) // DAY_MS
    assert found["sentence"].startswith("With 3 pairs of hands ")


def test_what_the_only_one_here_may_not_use_is_named_with_what_to_do(client):
    start(client)
    alone = [{"name": "Otto", "unable": ["table saw"]}]
    send(client, PHONE, [happening(2, Kept("people", alone), build="")])
    reasons = [one["reason"] for one in plan(client)["unplanned"]]

    assert "Nobody here may use the table saw: say on the Shop screen who may, or have it done elsewhere." in reasons


def test_on_closed_dates_nothing_is_planned(client):
    start(client)
    open_days = plan(client)["hours"]
    first = datetime.fromtimestamp(open_days[1][0] / 1000, UTC).date()
    send(client, PHONE, [happening(2, Kept("closed", [{"from": f"{first}"}]), build="")])
    now_open = plan(client)["hours"]

    assert open_days[1] not in now_open
    assert open_days[2] in now_open


def test_what_if_is_told_beside_the_plan_that_is_shown(client):
    start(client)
    plan(client)
    presented = client.post("/plan/what-if", json={"saturday": True}).json()

    assert presented["finish"] + presented["sooner_ms"] == plan(client)["finish"]


@pytest.mark.parametrize(
    "what", [{"glue": {"pva-interior": "moon-glue"}}, {"hours": "nine to five"}, {"hands": 9}, {"more": 1}]
)
def test_what_cannot_be_thought_is_refused_with_a_next_step(client, what):
    start(client)
    answer = client.post("/plan/what-if", json=what)

    assert answer.status_code == 400
    assert answer.json()["error"]["next_step"]


def test_what_if_with_nothing_open_is_refused(client):
    assert client.post("/plan/what-if", json={}).status_code == 400


def test_a_planner_that_was_killed_is_started_anew(client):
    start(client)
    plan(client)
    os.kill(client.shop.current_plan.planner_client.process.pid, signal.SIGKILL)
    send(client, PHONE, [happening(2, Began("rough-cut"))])
    answers = [client.get("/plan").status_code for _ in range(2)]

    assert answers[-1] == 200


def test_syncing_goes_on_while_the_planner_thinks(client):
    start(client)
    planner_client = client.shop.current_plan.planner_client
    plan(client)
    os.kill(planner_client.process.pid, signal.SIGSTOP)  # it thinks for ever
    try:
        answer = send(client, PHONE, [happening(2, Began("rough-cut"))])
    finally:
        os.kill(planner_client.process.pid, signal.SIGCONT)

    assert answer.status_code == 200


def test_an_exact_solver_thinks_on_in_the_background_and_proves_how_soon_all_could_be_done(tmp_path):
    with for_one_machine(tmp_path, prove_s=20) as client:
        answer = client.post("/builds", json={"id": BUILD, "recipe": "garden-stool", "pieces": 1, "name": "One"})
        assert answer.status_code == 200
        first = plan(client)
        client.blocking_portal.call(asyncio.wait, [client.shop.current_plan.proof])
        proved, thought = plan(client), client.shop.current_plan.proof

    # The plan may finish later than what is proved, which heeds the clock alone; the search may have proved as much.
    assert thought.done() and thought.exception() is None
    assert first["bound"] <= proved["bound"] <= proved["finish"] <= first["finish"]
    assert proved["made_at"] == first["made_at"]
