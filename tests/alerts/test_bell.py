"""The server's own bell: a command, never a shell's, and the terminal's."""

import asyncio
import io
import os
import sys
import time

import pytest
from alerts.bell_script import writer, written
from alerts.sample import BUILD, CLAMPED, happenings
from alerts.watched_shop import at, clamped, settled, wait_until
from benchbell.alerts.bell import Bell, command_of, environment, line_of
from benchbell.alerts.running_builds import RunningBuilds
from benchbell.alerts.schedule import due
from benchbell.durations import HOUR_MS
from benchbell.findings import Refused
from msgspec.structs import replace
from scene import NOON, for_one_machine
from structlog.testing import capture_logs


def ring():
    builds = RunningBuilds()
    builds.add(BUILD, happenings((NOON, CLAMPED)))
    return due(builds.alarms(NOON + HOUR_MS), NOON + HOUR_MS)[-1]


def test_a_bell_command_is_split_as_a_shell_does_and_never_given_to_one():
    assert ("sh", "-c", "echo $BENCHBELL_TITLE; date") == command_of("sh -c 'echo $BENCHBELL_TITLE; date'")


@pytest.mark.parametrize("text", ["", "no-such-program-here", "sh -c 'open"])
def test_a_bell_that_cannot_ring_is_refused_at_the_start(text):
    with pytest.raises(Refused, match="The bell"):
        command_of(text)


def test_words_of_a_recipe_reach_the_command_in_its_environment_alone(tmp_path):
    wicked = replace(ring(), title="$(touch hacked); `x` \x1b[2J", name="Tray\nfor two")
    asyncio.run(Bell(writer(tmp_path / "rung", "chime")).ring(wicked, NOON + HOUR_MS))
    ((arguments, variables),) = written(tmp_path / "rung")

    assert ["chime"] == arguments
    assert "Clamps may come off: $(touch hacked); `x`  [2J" == variables["BENCHBELL_TITLE"]
    assert "Tray for two" == variables["BENCHBELL_BUILD"]


def test_the_command_learns_what_is_due_since_when_and_how_late():
    variables = environment(ring(), NOON + HOUR_MS + 90_000)

    assert "2025-11-25T13:00:00+00:00" == variables["BENCHBELL_DUE"]
    assert "90" == variables["BENCHBELL_LATE_SECONDS"]
    assert ("in-clamps", "off") == (variables["BENCHBELL_CLOCK"], variables["BENCHBELL_RING"])
    assert variables["BENCHBELL_TEXT"].startswith("The usual time in clamps has passed.")


def test_the_terminal_rings_and_tells_in_one_line():
    screen = io.StringIO()
    asyncio.run(Bell(screen=screen).ring(replace(ring(), title="Glue\x1b[2J\nit"), NOON + HOUR_MS + 125_000))

    assert "\aClamps may come off: Glue [2J it, Tray, for the hall (2 min late)\n" == screen.getvalue()
    assert "late" not in line_of(ring(), NOON + HOUR_MS + 59_000)


@pytest.mark.parametrize("command", [("no-such-program-here",), (sys.executable, "-c", "raise SystemExit(3)")])
def test_a_bell_that_fails_stops_nobody_and_is_told_in_the_log(command):
    with capture_logs() as logged:
        asyncio.run(Bell(command).ring(ring(), NOON))

    assert [("error", command[0])] == [(line["log_level"], line["command"]) for line in logged]


def test_a_bell_does_not_wait_for_the_servers_keyboard():
    end, keyboard = os.pipe()
    kept = os.dup(0)
    os.dup2(end, 0)
    try:
        with capture_logs() as logged:
            asyncio.run(Bell((sys.executable, "-c", "import sys; sys.stdin.read()")).ring(ring(), NOON))
    finally:
        os.dup2(kept, 0)
        for handle in (end, keyboard, kept):
            os.close(handle)

    assert [] == logged


def test_a_bell_that_rings_on_and_on_is_stopped(monkeypatch):
    monkeypatch.setattr("benchbell.alerts.bell.LONGEST_SECONDS", 0.1)
    before = time.monotonic()
    asyncio.run(Bell((sys.executable, "-c", "import time; time.sleep(60)")).ring(ring(), NOON))

    assert time.monotonic() - before < 10


SLOW = """
import pathlib, sys, time
pathlib.Path(sys.argv[1]).touch()
time.sleep(1)
pathlib.Path(sys.argv[2]).touch()
"""


def test_a_ring_that_sounds_when_the_server_stops_comes_to_its_end(tmp_path):
    begun, ended = tmp_path / "begun", tmp_path / "ended"
    with for_one_machine(tmp_path, bell=(sys.executable, "-c", SLOW, str(begun), str(ended))) as client:
        clamped(client)
        at(client, NOON + HOUR_MS)
        wait_until(begun.exists)

    assert ended.exists()


@pytest.mark.parametrize("command", [("no-such-program-here",), (sys.executable, "-c", "import time; time.sleep(60)")])
def test_a_ring_counts_as_rung_once_its_command_runs_or_cannot(command):
    async def work():
        begun = asyncio.Event()
        ringing = asyncio.create_task(Bell(command).ring(ring(), NOON, note(begun)))
        await asyncio.wait_for(begun.wait(), 10)
        ringing.cancel()
        await asyncio.wait([ringing])

    def note(begun):
        async def noted():
            begun.set()

        return noted

    asyncio.run(work())


def test_the_bell_rings_once_for_each_clock_also_after_a_restart(tmp_path):
    rung = tmp_path / "rung"
    with for_one_machine(tmp_path, bell=writer(rung)) as client:
        clamped(client)
        for minutes in (20, 25, 60, 65):
            at(client, NOON + minutes * 60_000)
            settled(client)
        clock = client.settings.clock
    with for_one_machine(tmp_path, bell=writer(rung), clock=clock) as client:
        settled(client)

    assert ["pare", "off"] == [variables["BENCHBELL_RING"] for _, variables in written(rung)]


def test_without_a_bell_nothing_is_written_down_for_it(tmp_path, monkeypatch):
    monkeypatch.setattr("benchbell.web.runtime.terminal", lambda: None)
    with for_one_machine(tmp_path) as client:
        clamped(client)
        at(client, NOON + HOUR_MS)
        settled(client)

        assert (False, {}) == (client.shop.alarm_loop.bell.is_there, client.shop.push_queue.delivered.rings)
