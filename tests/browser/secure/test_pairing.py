"""From the square on the server's terminal to a phone in sync."""

import re

from browser.maker import expect_synced, open_operation, start_build, tap
from browser.secure.pairing import pair_at
from playwright.sync_api import expect

ASKED = """
const persist = navigator.storage.persist.bind(navigator.storage);
navigator.storage.persist = () => { sessionStorage.asked = "to keep"; return persist(); };
"""
"""Notes that the page asked the browser to keep its data."""


def test_the_square_on_the_terminal_holds_the_address_by_name_and_the_code_in_letters(shop):
    address, code = shop.scanned().split("/pair#")

    assert re.fullmatch(rf"https://[a-z0-9-]+\.local:{shop.port}", address)
    assert code == re.sub("[^0-9A-Z]", "", shop.typed())


def test_a_phone_that_scans_the_square_is_paired_and_in_sync_and_no_other_by_the_same_code(phone, shop):
    square = shop.scanned()
    phone.add_init_script(ASKED)
    pair_at(phone, square, "Phone in the apron")
    assert phone.evaluate("sessionStorage.asked") == "to keep"
    start_build(phone, name="For the hall")
    open_operation(phone, "Cut the sides")
    tap(phone, "Begin")
    expect_synced(phone)

    assert re.fullmatch(r"Phone in the apron  \([0-9a-f]{16}, paired .*, seen .*\)\n", shop.tell("devices"))

    phone.goto(square.partition("#")[0])
    phone.get_by_label("Code").fill(shop.typed())
    phone.get_by_role("button", name="Pair", exact=True).click()

    expect(phone.get_by_text("This code is wrong, already used, or older than ten minutes.")).to_be_visible()
