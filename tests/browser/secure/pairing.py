"""Pairing as a person does it on the page."""

from browser.conftest import open_page
from browser.maker import expect_synced
from playwright.sync_api import Page, expect


def pair_at(page: Page, address: str, name: str = "Phone in the apron") -> None:
    """From the address in the square until the phone is one of the shop's."""
    open_page(page, address)
    expect(page.get_by_role("heading", level=1, name="Pair this device")).to_be_visible()
    page.get_by_label("Name of this device").fill(name)
    page.get_by_role("button", name="Pair", exact=True).click()
    page.wait_for_url("**/")
    expect_synced(page)
