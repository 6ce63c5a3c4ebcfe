"""The same operation of two pieces, taken up together on two phones with the server away."""

from browser.conftest import open_page
from browser.maker import expect_synced, log_of, start_build, tap
from playwright.sync_api import Locator, Page, expect


def open_batch(page: Page) -> None:
    """From the bench, where both pieces stand in one line."""
    page.get_by_role("link", name="Bench").click()
    first = page.locator(".first-choice")
    expect(first.locator("strong .piece")).to_have_text(["Piece A", "Piece B"])
    first.click()
    expect(page.locator(".top .over")).to_have_text("A and B · mitre saw")


def parts_of(page: Page, piece: str) -> Locator:
    """What is ticked of one piece."""
    return page.locator("div", has=page.locator(".piece-head", has_text=f"Piece {piece}")).last.locator(".tick")


def of(log: dict, kind: str) -> list[str]:
    """What a kind of entry is about first, in the log's order."""
    return [entry["about"][0] for entry in log["entries"] if entry["kind"] == kind and not entry["undone"]]


def test_two_pieces_are_set_up_begun_and_finished_at_once_and_each_has_its_own_log(phone, server):
    build = start_build(phone, pieces=2)
    open_batch(phone)
    phone.get_by_role("button", name="Write down as set").click()
    phone.get_by_role("button", name="Keep as set").click()
    tap(phone, "Begin")
    phone.get_by_role("button", name="All 2").first.click()

    expect(phone.locator(".deeds .hint")).to_have_text("Still open: B 2 parts.")

    phone.get_by_role("button", name="Undo last").click()

    expect(phone.locator(".block h2 .figure").first).to_have_text("1 of 4 through")

    for tick in phone.locator(".tick[aria-pressed=false]").all()[::-1]:
        tick.click()
    tap(phone, "Finish")

    expect(phone.get_by_text("This is done.")).to_be_visible()

    expect_synced(phone)
    log = log_of(server, build)

    assert of(log, "began") == of(log, "finished") == ["A/cut-sides", "B/cut-sides"]
    assert sorted(of(log, "ticked")) == ["A/cut-sides"] * 2 + ["B/cut-sides"] * 2
    assert of(log, "set-up") == ["A/cut-sides"]
    ops = [op for op in log["operations"] if op["id"].endswith("cut-sides")]
    passed = (max(op["finished_ms"] for op in ops) - min(op["began_ms"] for op in ops)) / 60_000
    assert abs(sum(op["hands_minutes"] for op in ops) - passed) < 0.01


def test_what_two_phones_tick_of_one_batch_with_the_server_away_adds_up(new_phone, server):
    one, other = new_phone(), new_phone()
    open_page(one)
    build = start_build(one, pieces=2)
    open_batch(one)
    tap(one, "Begin")
    expect_synced(one)
    open_page(other)
    open_batch(other)
    server.kill()
    for tick in parts_of(one, "A").all():
        tick.click()
    for tick in parts_of(other, "B").all():
        tick.click()
    tap(one, "Finish A")
    server.start()
    for page in (one, other):
        expect_synced(page)
        expect(page.locator(".status-line strong")).to_have_text("A: Done, B: In hand", timeout=20_000)
        expect(page.locator(".block h2 .figure").first).to_have_text("4 of 4 through")
    tap(other, "Finish B")
    expect_synced(other)

    assert of(log_of(server, build), "finished") == ["A/cut-sides", "B/cut-sides"]
