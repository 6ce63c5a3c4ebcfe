"""A label's address opens its part, and a typed code does too; with no network either."""

import re
import time

from browser.maker import OTHER_PHONE, expect_synced, post, row, start_build, uuid7
from browser.stool import BUILD, Stool
from playwright.sync_api import Page, expect


def code_of_a_side(page: Page) -> str:
    """As its screen shows it."""
    row(page, "Cut the sides").click()
    page.get_by_role("link", name="About Side 1").click()
    return page.locator(".code").first.inner_text()


def test_a_labels_address_opens_its_part_with_the_server_dead(phone, server):
    start_build(phone)
    code = code_of_a_side(phone).replace("-", "")
    expect_synced(phone)
    server.kill()
    phone.goto(f"/P/{code}")

    expect(phone.get_by_role("heading", level=1, name="Side 1")).to_be_visible()
    expect(phone.get_by_text("left", exact=True)).to_be_visible()
    expect(phone.locator(".deeds")).to_contain_text("Next: Cut the sides")


def test_a_typed_code_opens_its_part_and_a_slip_is_named(phone):
    start_build(phone)
    code = code_of_a_side(phone)
    phone.get_by_role("link", name="Scan").click()
    field = phone.get_by_label("Code beside the square")
    field.fill(code[:-1] + ("0" if code[-1] != "0" else "1"))
    phone.get_by_role("button", name="Find the part").click()

    expect(phone.get_by_role("alert").filter(has_text="does not add up")).to_contain_text(f"Did you mean {code}?")

    field.fill(code.lower())
    phone.get_by_role("button", name="Find the part").click()

    expect(phone.get_by_role("heading", level=1, name="Side 1")).to_be_visible()


def test_a_label_nobody_knows_gets_a_sentence_and_a_next_step(phone):
    phone.goto("/P/0000000G")

    expect(phone.locator(".notice")).to_contain_text(re.compile("No build on this phone has the label|does not add up"))
    expect(phone.locator(".notice").get_by_role("link", name="Scan")).to_be_visible()


def test_a_spoiled_part_is_begun_again_under_a_new_label(phone):
    start_build(phone)
    old = code_of_a_side(phone)
    phone.get_by_role("button", name="Spoiled").click()
    phone.get_by_role("button", name="Cut too short").click()
    phone.get_by_role("button", name="It is spoiled").click()
    phone.get_by_role("button", name="Make it again").click()
    expect(phone.get_by_text("It is spoiled.")).to_have_count(0)
    new = phone.locator(".code").first.inner_text()

    assert new != old

    phone.goto(f"/P/{old.replace('-', '')}")

    expect(phone.locator(".notice")).to_contain_text(f"The part that replaces it has {new}.")


def test_a_label_of_a_build_that_is_done_with_opens_its_part_and_ticks_nothing(phone, server):
    stool = Stool(server.url)
    closed = {"kind": "closed", "closed": True, "reason": "Sold as parts"}
    at = {"ms": time.time_ns() // 1_000_000, "counter": 0, "device": OTHER_PHONE}
    happening = {"id": uuid7(at["ms"]), "n": 1, "at": at, "build": BUILD, "about": [], "what": closed}
    post(server, "/sync", {"page": 2, "after": 0, "log_epoch": "", "happenings": [happening]})
    phone.reload()
    expect_synced(phone)
    phone.reload()
    phone.get_by_role("link", name="Scan").click()
    phone.get_by_role("button", name="Tick off").click()
    phone.get_by_label("Code beside the square").fill(stool.codes["A/rail"])
    phone.get_by_role("button", name="Find the part").click()
    expect(phone.locator(".answers")).to_contain_text("That is of Stool, which is done with.")
    phone.get_by_role("button", name="Open", exact=True).click()
    phone.get_by_label("Code beside the square").fill(stool.codes["A/rail"])
    phone.get_by_role("button", name="Find the part").click()

    expect(phone.get_by_role("heading", level=1, name="Rail")).to_be_visible()


def test_parts_are_ticked_by_their_codes_one_after_the_other(phone):
    start_build(phone)
    code = code_of_a_side(phone)
    phone.go_back()
    phone.locator(".deeds .main").click()
    phone.get_by_role("button", name="Tick by scanning").click()
    phone.get_by_label("Code beside the square").fill(code)
    phone.get_by_role("button", name="Find the part").click()

    expect(phone.get_by_role("status").filter(has_text="Side 1")).to_contain_text("Side 1 is through. 1 part to go.")
