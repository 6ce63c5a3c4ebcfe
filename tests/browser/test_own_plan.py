"""With the server away the phone plans by itself, and comes to what the server says once it is back."""

import re

import pytest
from browser.conftest import open_page
from browser.maker import closing_in, do_all, expect_synced, jobs, start_build, title
from playwright.sync_api import Page, expect

LONG = 500
"""Minutes to closing time: room for all that is cut."""

BY_ITSELF = re.compile(
    r"^As of \d\d:\d\d\. This phone worked out the order and the times by itself: "
    r"the server is away( since \d\d:\d\d)?\. Reasons and finish dates come back with it\.$"
)


@pytest.fixture
def maker(new_phone, server) -> Page:
    """A phone in a shop that stays open for long, with two stools begun."""
    page = new_phone(timezone_id=closing_in(server, LONG))
    open_page(page)
    start_build(page, pieces=2)
    expect_synced(page)
    return page


def first_advice(page: Page) -> str:
    """What the bench puts first, without how long it takes."""
    page.get_by_role("link", name="Bench").click()
    return page.locator(".first-choice h2, .first-choice strong").first.inner_text()


def planned(page: Page) -> list[str]:
    """The titles in the order of the Plan screen, from the bench."""
    page.get_by_role("link", name="Bench").click()
    page.get_by_role("link", name="Plan").or_(page.get_by_role("link", name="Done by")).first.click()
    expect(page.locator(".job").first).to_be_visible()
    return list(map(title, jobs(page)))


def test_out_of_order_with_the_server_away_the_phone_plans_what_the_server_plans_after(maker, server):
    page = maker
    planned(page)  # the server's, which the phone goes on from
    server.kill()
    do_all(page, "Cut the sides", "Side 1", "Side 2")
    do_all(page, "Cut the rail", "Rail")
    planned(page)
    expect(page.get_by_text(BY_ITSELF)).to_be_visible(timeout=20_000)
    expect(page.locator(".job").first).not_to_contain_text("Piece A", timeout=20_000)  # what was done last is in it
    alone = planned(page)
    first = first_advice(page)
    page.reload()
    again = first_advice(page)
    kept = planned(page)
    expect(page.get_by_text(BY_ITSELF)).to_be_visible(timeout=20_000)
    server.start()
    expect_synced(page)
    back = planned(page)
    expect(page.get_by_text(re.compile(r"^As of \d\d:\d\d\.$"))).to_be_visible(timeout=20_000)
    expect(page.get_by_text("This phone worked out")).to_have_count(0)

    assert alone == kept == back
    assert first == again == first_advice(page)
