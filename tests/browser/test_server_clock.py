"""The server's machine is set while clocks run: the page's timers run on, and it says whose clock was wrong."""

import re

import pytest
from browser.conftest import begun, open_page, until
from browser.maker import glue_next, tap
from playwright.sync_api import expect
from trial_clock import TrialClock

MINUTE, HOUR = 60_000, 3_600_000


@pytest.fixture
def trial(tmp_path, monkeypatch):
    trial = TrialClock(tmp_path)
    for name, value in trial.environment.items():
        monkeypatch.setenv(name, value)
    return trial


@pytest.fixture
def server(page_folder, trial, tmp_path_factory):
    """A server that goes by the trial's clock."""
    server = begun(tmp_path_factory)
    server.wait()
    yield server
    server.kill()


@pytest.fixture
def at_the_glue_up(server, new_phone):
    """A phone before the glue-up's main button."""
    build = glue_next(server)
    page = new_phone()
    open_page(page, f"/b/{build}/o/A%2Fglue-frame")
    tap(page, "Begin")
    return page


def left(page, card=0):
    """What is left on a clock's card, s."""
    shown = page.get_by_role("timer").nth(card).inner_text()
    hours, minutes, seconds = re.search(r"(\d+:)?(\d+):(\d\d)", shown).groups()
    return int((hours or "0:")[:-1]) * 3600 + int(minutes) * 60 + int(seconds)


def whose(page):
    """What the page says of clocks."""
    return page.locator(".sync-line[role=alert]")


def test_open_time_runs_on_when_the_server_is_set_back_three_hours(at_the_glue_up, trial):
    page = at_the_glue_up
    tap(page, "Glue on")
    before = left(page)
    trial.set(-3 * HOUR)
    expect(whose(page)).to_contain_text("The server's clock was 3 h ahead until", timeout=30_000)
    after = left(page)
    until(lambda: left(page) < after, "the timer runs on")

    assert before - 60 < after <= before
    expect(whose(page)).not_to_contain_text("This phone's clock")
    expect(page.locator(".clock-card").first).to_contain_text("The server's clock was set while this ran")


def test_a_server_two_hours_behind_is_set_right_and_the_page_rings_nothing(at_the_glue_up, trial):
    trial.set(-2 * HOUR)
    page = at_the_glue_up
    expect(whose(page)).to_contain_text("The server's clock was 2 h ahead until", timeout=30_000)
    tap(page, "Glue on")
    tap(page, "Clamped")
    before = left(page)
    trial.set(2 * HOUR)
    expect(whose(page)).to_contain_text("The server's clock was 2 h behind until", timeout=30_000)

    assert before - 60 < left(page) <= before
    expect(page.get_by_role("dialog", name="Clamps may come off")).to_have_count(0)
    expect(page.get_by_role("dialog")).to_have_count(0)


def test_what_a_page_recorded_offline_while_the_server_was_set_is_timed_right(at_the_glue_up, trial):
    page = at_the_glue_up
    page.context.set_offline(True)
    tap(page, "Glue on")
    trial.set(3 * HOUR)
    before = left(page)
    page.context.set_offline(False)
    expect(whose(page)).to_contain_text("The server's clock was 3 h behind until", timeout=60_000)

    assert before - 90 < left(page) <= before
    expect(page.get_by_role("dialog")).to_have_count(0)
