"""A phone is revoked while it is away: what it did meanwhile is lost nowhere."""

import json
import re

from browser.conftest import until
from browser.maker import expect_synced, open_operation, start_build, tap, tick
from browser.secure.pairing import pair_at
from playwright.sync_api import expect

NAME = "Phone in the apron"


def test_a_phone_revoked_while_it_was_away_loses_no_work_and_doubles_none_once_it_is_taken_and_paired_anew(phone, shop):
    pair_at(phone, shop.scanned(), NAME)
    build = start_build(phone)
    expect_synced(phone)
    shop.kill()
    open_operation(phone, "Cut the sides")
    tap(phone, "Begin")
    tick(phone, "Side 1")
    work = phone.url
    line = phone.get_by_role("status").first
    expect(line).to_contain_text("2 things wait on this phone")
    shop.tell("devices", "revoke", NAME)
    shop.start()

    expect(line).to_contain_text(f"{NAME} was revoked; its 2 happenings are kept for review.", timeout=20_000)
    expect(line).to_contain_text("Pair it again to go on")

    until(lambda: "2 happenings to review" in shop.tell("devices"), "the server keeps its work aside")
    kinds = re.findall(r'"kind":"([a-z-]+)"', shop.tell("devices", "review", NAME))
    phone.reload()

    assert ["began", "ticked"] == kinds
    expect(phone.locator(".tick[aria-pressed=true]", has_text="Side 1")).to_be_visible()

    assert f"2 happenings of {NAME} are in the log now.\n" == shop.tell("devices", "accept", NAME)
    pair_at(phone, shop.scanned(), NAME)
    build_log = json.loads(shop.tell("log", build, "--as", "json"))
    phone.goto(work)

    assert kinds == [entry["kind"] for entry in build_log["entries"] if entry["kind"] in kinds]
    assert "review" not in shop.tell("devices")
    expect(phone.locator(".tick[aria-pressed=true]", has_text="Side 1")).to_be_visible()
