"""Running clocks as they are looked at: on the bench, and on the wall by day and by night."""

import time
from datetime import UTC, datetime, timedelta

import pytest
from browser.conftest import open_page
from browser.maker import OTHER_PHONE, glue_next, post, uuid7
from playwright.sync_api import expect

MINUTE = 60_000
GLUE, COAT = "A/glue-frame", "A/oil"


class Shop:
    """What another phone told the server."""

    def __init__(self, server):
        self.server, self.sent = server, 3
        self.build = glue_next(server)

    def tell(self, build, what, minutes_ago=0):
        self.sent += 1
        at = time.time_ns() // 1_000_000 - minutes_ago * MINUTE
        entry = {
            "id": uuid7(at), "n": self.sent, "at": {"ms": at, "counter": 0, "device": OTHER_PHONE},
            "build": build, "about": [], "what": what,
        }  # fmt: skip
        post(self.server, "/sync", {"page": 2, "after": 0, "log_epoch": "", "happenings": [entry]})

    def keep(self, setting, value):
        self.tell("", {"kind": "kept", "setting": setting, "value": value})


@pytest.fixture
def shop(server):
    return Shop(server)


@pytest.fixture
def clamped(shop):
    """A glue-up that has been in clamps for a minute."""
    for kind, minutes_ago in (("glue-on", 3), ("clamped", 1)):
        shop.tell(shop.build, {"kind": kind, "operation": GLUE}, minutes_ago)
    return shop


def quiet_now():
    """Quiet hours from an hour ago until in two hours."""
    now = datetime.now(UTC)
    return {"from": f"{now - timedelta(hours=1):%H:%M}", "to": f"{now + timedelta(hours=2):%H:%M}", "zone": "UTC"}


def test_clocks_of_one_operation_stand_together_under_its_name(clamped, new_phone):
    page = new_phone()
    open_page(page)
    group = page.locator(".clock-group")

    expect(group.locator(".clock-name strong")).to_have_text("Squeeze-out")
    expect(group.locator(".row-words")).to_contain_text("In clamps")

    group.get_by_role("link", name="Glue the frame").click()

    expect(page.get_by_role("heading", level=1, name="Glue the frame")).to_be_visible()


AHEAD = "(() => { const wall = Date.now; Date.now = () => wall() + 3 * 3600_000; })()"
"""The phone's own clock is three hours fast, whenever the page is loaded."""


def test_a_phone_hours_ahead_keeps_what_the_server_told_it_of_the_time(clamped, new_phone, server):
    page = new_phone()
    page.add_init_script(AHEAD)
    open_page(page)
    left = page.locator(".clock-group").get_by_role("timer")
    expect(left).to_contain_text("to go")
    server.kill()
    page.reload()

    expect(left).to_contain_text("to go")
    expect(page.locator(".ring-card")).to_have_count(0)


def test_a_clock_that_stands_alone_has_no_heading_and_leads_to_its_operation(shop, new_phone):
    shop.tell(shop.build, {"kind": "glue-on", "operation": GLUE})
    page = new_phone()
    open_page(page)

    expect(page.locator(".clock-card.urgent")).to_contain_text("Glue the frame")
    expect(page.locator(".clock-group")).to_have_count(0)


def test_of_a_build_put_away_the_oily_rags_ring_and_nothing_else(shop, new_phone):
    shop.tell(shop.build, {"kind": "coat-on", "operation": COAT}, 90)
    shop.tell(shop.build, {"kind": "closed", "closed": True, "reason": "no time"})
    page = new_phone()
    open_page(page)
    ring = page.locator(".ring-card")

    expect(ring).to_contain_text("The oily rags still wait")

    page.reload()  # the build is put away on the phone as well now

    expect(ring).to_contain_text("The oily rags still wait")

    ring.get_by_role("button", name="Rags are safe").click()

    expect(ring).to_have_count(0)
    expect(page.locator(".clock-card")).to_have_count(0)


def test_the_wall_is_dim_at_night_and_a_tap_gives_a_minute_of_light(clamped, new_phone):
    clamped.keep("quiet", quiet_now())
    page = new_phone(viewport={"width": 1280, "height": 800})
    page.clock.install()
    open_page(page, "/wall")

    expect(page.locator("html")).to_have_attribute("data-dim", "")
    expect(page.get_by_text("Dim for the night. Tap for light.")).to_be_visible()

    page.locator(".wall-digits").first.click()

    expect(page.locator("html:not([data-dim])")).to_have_count(1)

    clamped.server.kill()  # it would tell the phone that this minute has not passed
    page.clock.fast_forward(MINUTE + 1000)

    expect(page.locator("html[data-dim]")).to_have_count(1)


def test_by_day_the_wall_is_bright_and_leaving_it_leaves_the_dark_behind(clamped, new_phone):
    page = new_phone()
    open_page(page, "/wall")

    expect(page.locator(".wall-clock")).to_have_count(3)
    expect(page.locator("html:not([data-dim])")).to_have_count(1)

    clamped.keep("quiet", quiet_now())

    expect(page.locator("html[data-dim]")).to_have_count(1)

    page.get_by_role("link", name="Back to the bench").click()

    expect(page.locator("html:not([data-dim])")).to_have_count(1)
