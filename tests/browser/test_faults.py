"""What goes wrong gets a clear sentence, and nothing is lost."""

import json
import re

from browser.conftest import open_page
from browser.engines.tab import LATER
from browser.maker import expect_synced, open_operation, row, start_build, tap
from playwright.sync_api import Page, expect


def refuse(page: Page, kind: str, what: str, next_step: str) -> None:
    """From now on the server refuses to sync, in its one shape of error."""
    body = json.dumps({"error": {"kind": kind, "what": what, "next_step": next_step}})
    page.route("**/sync", lambda route: route.fulfill(status=409, content_type="application/json", body=body))


def test_a_page_older_than_the_server_says_so_and_keeps_what_was_done(phone, server):
    start_build(phone)
    expect_synced(phone)
    refuse(phone, "page-too-old", "This page is older than the server understands.", "Load the page anew.")
    open_operation(phone, "Cut the sides")
    tap(phone, "Begin")

    expect(phone.get_by_role("status").first).to_contain_text(re.compile("older", re.IGNORECASE), timeout=20_000)

    phone.unroute("**/sync")
    phone.reload()

    expect(phone.locator(".status-line")).to_contain_text("In hand")
    expect_synced(phone)


MINUTE_MS = 60_000


def test_a_phone_says_since_when_it_rings_alone_while_the_server_is_away(phone, server):
    line = phone.get_by_role("status").first
    expect_synced(phone)
    server.kill()
    phone.evaluate(f"({LATER})({MINUTE_MS})")

    expect(line).to_contain_text(re.compile(r"Since \d\d:\d\d only this phone rings\."), timeout=15_000)

    phone.get_by_role("link", name="Shop").click()
    phone.get_by_role("link", name="Wall").click()
    expect(phone.get_by_role("alert")).to_contain_text("only this screen rings")
    phone.get_by_role("link", name="Back to the bench").click()
    server.start()

    expect_synced(phone)
    expect(line).not_to_contain_text("rings")


def test_a_server_whose_alarms_stand_still_is_seen_on_the_phone_within_a_minute(phone):
    def stand_still(route):
        answer = route.fetch()
        content = answer.json()
        route.fulfill(response=answer, json={**content, "alarms_ran": content["server_time"] - MINUTE_MS})

    expect_synced(phone)
    phone.route("**/live", lambda route: route.abort())
    phone.route("**/sync", stand_still)
    phone.reload()

    expect(phone.get_by_role("status").first).to_contain_text(
        "the server's alarms stand still. Start the server again", timeout=20_000
    )


def test_two_tabs_of_one_phone_show_the_same_and_record_nothing_twice(new_phone, server):
    first = new_phone()
    open_page(first)
    build = start_build(first)
    expect_synced(first)
    second = first.context.new_page()
    open_page(second, f"/b/{build}")
    for page in (first, second):
        row(page, "Cut the sides").click()
    first.locator(".deeds .main").click()

    expect(second.locator(".status-line")).to_contain_text("In hand", timeout=15_000)

    second.locator(".tick", has_text="Side 1").click()

    expect(first.locator(".tick[aria-pressed=true]")).to_have_count(1, timeout=15_000)

    for page in (first, second):
        expect_synced(page)


def test_starting_a_build_without_the_server_says_what_to_do(phone, server):
    server.kill()
    phone.get_by_role("link", name="Builds").click()
    tap(phone, "Start a build")

    expect(phone.get_by_role("dialog")).to_contain_text("The server does not answer.")

    server.start()
    phone.get_by_role("dialog").get_by_role("button", name="Try again").click()

    expect(phone.get_by_role("radio", name="Step stool")).to_be_visible()


def test_an_address_that_is_nothing_leads_back(phone):
    phone.goto("/b/nothing")

    expect(phone.get_by_text("This phone does not know that build.")).to_be_visible()

    phone.goto("/somewhere/else")

    expect(phone.locator(".notice").get_by_role("link", name="Bench")).to_be_visible()


def test_names_from_a_recipe_are_text_and_never_markup(phone):
    start_build(phone, recipe="<b>Bold</b> & <img src=x>")
    title = "<i>Cut</i> <script>alert(1)</script>"

    expect(phone.get_by_role("link", name=title)).to_be_visible()

    phone.get_by_role("link", name=title).click()

    expect(phone.get_by_role("heading", level=1)).to_have_text(title)
    assert phone.locator("main img, main script, main b, main i").count() == 0
