"""What the phone keeps, in a real browser: a full phone, days away, a new page while things wait, a dead battery."""

import build_page
import pytest
from browser.camera import camera_picture, take
from browser.conftest import open_page
from browser.full_phone import FILL_UP
from browser.maker import expect_synced, log_of, open_operation, start_build, tap
from playwright.sync_api import Page, expect


def happenings_waiting(page: Page) -> int:
    """How much the phone's store holds for the server."""
    return page.evaluate(
        """() => new Promise((resolve, reject) => {
          const opening = indexedDB.open("benchbell");
          opening.onerror = () => reject(opening.error);
          opening.onsuccess = () => {
            const count = opening.result.transaction("outbox").objectStore("outbox").count();
            count.onsuccess = () => { opening.result.close(); resolve(count.result); };
          };
        })"""
    )


# Noise, since the store packs what repeats: a full phone would take minutes of it.


def test_a_full_phone_says_so_goes_on_in_memory_and_writes_it_down_once_there_is_room(new_phone, server):
    phone = new_phone()
    devtools = phone.context.new_cdp_session(phone)
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": server.url, "quotaSize": 12_000_000})
    open_page(phone)
    start_build(phone)
    expect_synced(phone)
    open_operation(phone, "Cut the sides")
    phone.evaluate(FILL_UP)
    tap(phone, "Begin")

    expect(phone.locator(".status-line")).to_contain_text("In hand")
    expect(phone.get_by_role("status").first).to_contain_text("no room left", timeout=15_000)

    devtools.send("Storage.overrideQuotaForOrigin", {"origin": server.url})

    expect_synced(phone)
    phone.reload()
    expect(phone.locator(".status-line")).to_contain_text("In hand")


def test_what_was_recorded_with_the_server_away_survives_the_browser_being_killed(phone, server):
    start_build(phone)
    expect_synced(phone)
    server.kill()
    open_operation(phone, "Cut the sides")
    tap(phone, "Begin")
    expect(phone.get_by_role("status").first).to_contain_text("1 thing waits")
    phone.goto("about:blank")
    open_page(phone)

    assert happenings_waiting(phone) == 1

    server.start()
    expect_synced(phone)

    assert happenings_waiting(phone) == 0


def test_a_store_thrown_away_under_the_open_page_opens_again_says_so_and_loses_nothing_recorded(phone, server):
    build = start_build(phone)
    expect_synced(phone)
    server.kill()
    open_operation(phone, "Cut the sides")
    tap(phone, "Begin")
    take(phone, camera_picture())
    expect(phone.get_by_role("status").first).to_contain_text("2 things and 1 photo wait")
    throw_away(phone, server)

    expect(phone.get_by_role("alert")).to_contain_text("The browser threw away what was kept here")
    expect(phone.get_by_role("alert")).to_contain_text("1 photo that no server had is lost")
    expect(phone.get_by_role("status").first).to_contain_text("2 things wait on this phone")
    phone.get_by_role("button", name="Understood").click()
    expect(phone.get_by_role("alert")).to_have_count(0)

    phone.reload()
    expect(phone.locator(".status-line")).to_contain_text("In hand")
    assert happenings_waiting(phone) == 2

    server.start()
    expect_synced(phone)
    kinds = [entry["kind"] for entry in log_of(server, build)["entries"]]

    assert kinds == ["started", "began", "photo"]


def throw_away(page: Page, server) -> None:
    """As the browser does to make room."""
    devtools = page.context.new_cdp_session(page)
    devtools.send("Storage.clearDataForOrigin", {"origin": server.url, "storageTypes": "indexeddb"})


def test_a_phone_away_for_days_with_its_clock_set_back_still_sends_and_says_what_is_wrong(phone, server):
    start_build(phone)
    expect_synced(phone)
    server.kill()
    open_operation(phone, "Cut the sides")
    phone.evaluate("hours => { const real = Date.now; Date.now = () => real() - hours * 3600000; }", 50)

    expect(phone.get_by_role("alert")).to_contain_text("clock jumped back by 2 d 2 h", timeout=10_000)

    tap(phone, "Begin")
    server.start()

    expect_synced(phone)
    expect(phone.get_by_role("alert")).to_contain_text("Everything here goes by the server's clock.")


@pytest.fixture
def newer_worker(page_folder):
    """Makes the server hand out a newer service worker than the page came with; the old one is back afterwards."""
    worker = build_page.BACKEND / "benchbell" / "page" / "worker.js"
    old = worker.read_text(encoding="utf-8")
    yield lambda: worker.write_text(f"{old}\n// newer\n", encoding="utf-8")
    worker.write_text(old, encoding="utf-8")


def test_a_new_page_waits_until_it_is_asked_for_and_keeps_what_waits(phone, server, newer_worker):
    start_build(phone)
    expect_synced(phone)
    phone.route("**/sync", lambda route: route.abort())
    open_operation(phone, "Cut the sides")
    tap(phone, "Begin")
    newer_worker()
    server.kill()
    server.start()
    phone.evaluate("navigator.serviceWorker.getRegistration().then((found) => found.update())")

    expect(phone.get_by_text("A newer page is ready.")).to_be_visible(timeout=15_000)
    assert happenings_waiting(phone) == 1

    phone.get_by_role("button", name="Load it").click()

    expect(phone.get_by_text("A newer page is ready.")).to_have_count(0)
    expect(phone.locator(".status-line")).to_contain_text("In hand")
    assert happenings_waiting(phone) == 1

    phone.unroute("**/sync")
    expect_synced(phone)
