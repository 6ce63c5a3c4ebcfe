"""The planner when things are odd: nonsense kept, two at once, somebody gone, a server killed."""

import asyncio
import os
import signal
import time
from contextlib import suppress
from pathlib import Path

import httpx
import pytest
from benchbell.bench.air import Reading
from benchbell.bench.happenings import Began, Closed, Conditions, Kept
from benchbell.durations import HOUR_MS, MINUTE_MS
from benchbell.planner import process
from benchbell.planner.current_plan import air_now
from benchbell.recipe.unfit_air import Air
from msgspec.structs import replace
from scene import NOON, PHONE, encoded, for_one_machine, id7, send
from web.running import serving_here

BUILD = id7(77)
BEYOND = 10**18

NONSENSE = [
    Kept("hours", "nine to five"),
    Kept("hours", {"mon": 8}),
    Kept("hours", [480, 1020]),
    Kept("clamps", "many"),
    Kept("clamps", {"parallel jaw": -4}),
    Kept("clamps", {"parallel jaw": BEYOND}),
    Kept("closed", "at Christmas"),
    Kept("closed", [{"from": "2026-02-30"}]),
    Kept("people", [{"name": 5}]),
    Kept("people", "Anna"),
    Kept("zone", 1),
    Kept("finishing_room", "yes"),
    Kept("zone", "../../etc"),
    Kept(f"due/{BUILD}", "soon"),
    Kept(f"due/{BUILD}", {"by": BEYOND}),
    Kept(f"due/{BUILD}", {"by": -1}),
    Kept(f"due/{BUILD}", {"by": NOON, "weight": -1}),
]


@pytest.fixture
def client(tmp_path):
    with for_one_machine(tmp_path) as client:
        yield client


def happening(n, what, build=BUILD):
    return encoded(n, NOON + n, what, build)


def start(client, id=BUILD, recipe="hall-bench", pieces=1):
    answer = client.post("/builds", json={"id": id, "recipe": recipe, "pieces": pieces, "name": "For the hall"})
    assert answer.status_code == 200, answer.text


def plan(client):
    answer = client.get("/plan")
    assert answer.status_code == 200, answer.text
    return answer.json()


@pytest.mark.parametrize("kept", NONSENSE)
def test_a_setting_that_says_nothing_counts_as_not_kept(client, kept):
    start(client)
    usual = plan(client)
    send(client, PHONE, [happening(1, kept, build="")])

    assert {**plan(client), "stands": None} == usual


def newest_twice_at_once(planner):
    async def both():
        return await asyncio.gather(planner.newest(), planner.newest())

    return both


def test_two_who_ask_at_once_get_one_plan(client):
    start(client)
    one, other = client.blocking_portal.call(newest_twice_at_once(client.shop.current_plan))

    assert one is other


def test_one_who_goes_away_while_it_thinks_leaves_no_answer_behind_for_the_next(client):
    start(client)
    planner = client.shop.current_plan
    plan(client)
    first = planner.planner_client.process.pid
    os.kill(first, signal.SIGSTOP)  # it thinks for ever
    send(client, PHONE, [happening(1, Began("rough-cut"))])

    async def go_away():
        asking = asyncio.create_task(planner.newest())
        while not planner.planner_client.lock.locked():
            await asyncio.sleep(0)
        asking.cancel()
        await asyncio.wait([asking])

    client.blocking_portal.call(go_away)
    answer = client.post("/plan/what-if", json={"saturday": True})

    assert answer.status_code == 200, answer.text
    assert plan(client)["steps"][0]["operation"] == "rough-cut"
    assert planner.planner_client.process.pid != first


def test_a_plan_is_gone_on_from_as_it_was_told_in_minutes_from_then(client):
    start(client)
    told = plan(client)
    later = told["made_at"] + 25 * MINUTE_MS
    before = client.shop.current_plan.question_at(later, ()).before

    assert [later + placed.start * MINUTE_MS for placed in before.placed] == [step["start"] for step in told["steps"]]
    assert later + before.finish * MINUTE_MS == told["finish"]


def test_what_is_closed_meanwhile_is_in_the_plan_no_more(client):
    other = id7(78)
    start(client)
    start(client, other)
    both = plan(client)
    send(client, PHONE, [happening(1, Closed(True), build=other)])
    alone = plan(client)

    assert {step["build"] for step in both["steps"]} == {BUILD, other}
    assert {step["build"] for step in alone["steps"]} == {BUILD}
    send(client, PHONE, [happening(2, Closed(True))])
    assert client.get("/plan").status_code == 204


def test_hundreds_of_operations_are_planned(client):
    start(client, recipe="bedside-table", pieces=8)
    presented = plan(client)

    assert len({step["operation"] for step in presented["steps"]}) > 300
    assert presented["unplanned"] == []


def reasons(client, operation):
    """The reasons of an operation's steps in the plan."""
    return {step["reason"] for step in plan(client)["steps"] if step["operation"] == operation}


def test_it_promises_no_time_in_clamps_in_air_that_was_read_too_cold_for_the_glue(client):
    """Common practice, no source: PVA needs 10 °C, hardwax oil 15 °C."""
    start(client)
    usual = reasons(client, "A/glue-seat")
    send(client, PHONE, [happening(1, Conditions(8.0, 50.0), build="")])

    assert reasons(client, "A/glue-seat") == {
        "Not at this temperature: 8 °C (46 °F) at the bench, pva-slow needs at least 10 °C (50 °F).",
        "Not at this temperature.",
    }
    assert reasons(client, "A/oil-1") == {
        "Not at this temperature: 8 °C (46 °F) at the bench, hardwax-oil needs at least 15 °C (59 °F)."
    }
    send(client, PHONE, [happening(2, Conditions(18.0, 50.0), build="")])

    assert reasons(client, "A/glue-seat") == usual


def test_a_reading_counts_for_twelve_hours():
    readings = [Reading(NOON, 8.0, 50.0)]

    assert air_now(readings, NOON + 12 * HOUR_MS) == Air(8.0, 50.0, "at the bench")
    assert air_now(readings, NOON + 12 * HOUR_MS + 1) is None
    assert air_now([*readings, Reading(NOON + HOUR_MS, 20.0)], NOON) == Air(20.0, None, "at the bench")
    assert air_now([], NOON) is None


@pytest.mark.parametrize("end", [signal.SIGKILL, signal.SIGTERM])
def test_the_planner_does_not_outlive_the_server(tmp_path, end):
    with serving_here(tmp_path) as (url, server):
        planner = planner_behind(url, server)
        server.send_signal(end)
        server.wait(timeout=15)
        wait_until_gone(planner)


def test_a_stop_from_the_keyboard_is_the_servers_business_alone(tmp_path):
    """The terminal sends it to the whole group of processes."""
    with serving_here(tmp_path, start_new_session=True) as (url, server):
        planner = planner_behind(url, server)
        os.killpg(server.pid, signal.SIGINT)
        server.wait(timeout=15)
        wait_until_gone(planner)

        assert "Traceback" not in server.out.read_text()


def planner_behind(url, server):
    """The id of the planner's process, once a plan was made."""
    httpx.post(f"{url}/builds", json={"id": BUILD, "recipe": "hall-bench", "pieces": 1, "name": "One"}, timeout=30)
    assert httpx.get(f"{url}/plan", timeout=30).status_code == 200
    for entry in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            if entry.read_text().rpartition(")")[2].split()[1] == str(server.pid):
                return int(entry.parent.name)
    raise AssertionError("There is no planner.")


def wait_until_gone(pid):
    """Fails when it is still there after a good while."""
    until = time.monotonic() + 30
    while Path(f"/proc/{pid}/stat").exists():
        assert time.monotonic() < until, f"The process {pid} is still there."
        time.sleep(0.05)


def test_a_build_on_which_the_planner_fails_is_left_out_and_named(client):
    other = id7(78)
    start(client)
    start(client, other)
    question = client.blocking_portal.call(client.shop.current_plan.question)
    one, rest = question.builds
    lost = replace(one, bench=replace(one.bench, operations={}))  # its state lacks what its sheet has
    answer = process.answer(replace(question, builds=(lost, rest)))

    assert [(one.build, one.operation) for one in answer.report.unplanned] == [(lost.id, "")]
    assert {step.build for step in answer.report.steps} == {rest.id}
    nothing = process.answer(replace(question, builds=(lost,)))
    assert (nothing.report.steps, len(nothing.report.unplanned)) == ((), 1)
