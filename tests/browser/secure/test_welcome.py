"""The welcome page over http, for a phone that has been here before."""

from browser.conftest import open_page
from playwright.sync_api import expect


def test_the_welcome_page_still_opens_by_name_after_the_page_was_opened_over_https(phone, shop):
    by_name = shop.scanned().partition("/pair#")[0]
    open_page(phone, by_name)
    phone.goto(by_name.replace("https:", "http:").replace(f":{shop.port}", f":{shop.welcome_port}"))

    assert phone.url.startswith("http://")
    expect(phone.get_by_role("link", name=by_name)).to_be_visible()
