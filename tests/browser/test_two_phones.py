"""Two phones at one bench, with no network between them."""

from browser.conftest import open_page
from browser.maker import expect_synced, row, start_build
from playwright.sync_api import Page, expect


def open_side(page: Page) -> None:
    """The left side's own screen, by its label code."""
    page.get_by_role("link", name="Builds").click()
    page.locator(".build-card").first.click()
    row(page, "Cut the sides").click()
    page.get_by_role("link", name="About Side 1").click()


def note(page: Page, words: str) -> None:
    """Written on the part."""
    page.get_by_role("button", name="Note").click()
    page.get_by_label("What to remember").fill(words)
    page.get_by_role("button", name="Keep the note").click()
    expect(page.locator(".story")).to_contain_text(words)


def story(page: Page) -> list[str]:
    """The part's history as this phone tells it, without who did it: each calls itself “this phone”."""
    return [line.split("\n")[0] for line in page.locator(".story li > span").all_inner_texts()]


def test_what_two_phones_noted_offline_stands_on_both_in_one_order(new_phone, server):
    one, other = new_phone(), new_phone()
    open_page(one)
    start_build(one)
    expect_synced(one)
    open_page(other)
    open_side(one)
    open_side(other)
    server.kill()
    note(one, "Chip at the back end.")
    note(other, "Planed a shaving off.")
    note(one, "Chip glued.")
    server.start()
    for page in (one, other):
        expect_synced(page)
        expect(page.locator(".story")).to_contain_text("Chip glued.", timeout=20_000)
        expect(page.locator(".story")).to_contain_text("Planed a shaving off.", timeout=20_000)

    assert story(one) == story(other)
    assert [line for line in story(one) if "Note" in line] == [
        "Note: Chip glued.", "Note: Planed a shaving off.", "Note: Chip at the back end.",
    ]  # fmt: skip


def test_a_tick_on_one_phone_shows_on_the_other_without_a_reload(new_phone):
    one, other = new_phone(), new_phone()
    open_page(one)
    start_build(one)
    expect_synced(one)
    open_page(other)
    for page in (one, other):
        page.get_by_role("link", name="Builds").click()
        page.locator(".build-card").first.click()
        row(page, "Cut the sides").click()
    one.locator(".deeds .main").click()

    expect(other.locator(".status-line")).to_contain_text("In hand", timeout=15_000)
