"""What a phone may do once it trusts the workshop's authority: all that a page on an untrusted address may not."""

import json
import urllib.error
import urllib.request

import pytest
from browser.conftest import open_page, until
from playwright.sync_api import Error, expect


def site(shop) -> str:
    return shop.scanned().partition("/pair#")[0]


def test_without_the_authority_the_browser_refuses_the_page_and_with_it_it_is_secure(shop, phone_with):
    with phone_with(None) as page, pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        page.goto(site(shop))

    with phone_with(shop.authority()) as page:
        open_page(page, site(shop))

        assert page.evaluate("isSecureContext")


def test_the_browser_itself_finds_nothing_against_installing_the_page(phone, shop):
    open_page(phone, site(shop))
    session = phone.context.new_cdp_session(phone)
    manifest = session.send("Page.getAppManifest")
    content = json.loads(manifest["data"])
    sizes = {icon["sizes"] for icon in content["icons"]}

    assert [] == manifest["errors"]
    assert [] == session.send("Page.getInstallabilityErrors")["installabilityErrors"]
    # Web Application Manifest (W3C): these members. The two sizes are what browsers ask for: from memory, no source.
    assert content["name"] and content["start_url"] == "/" and content["display"] == "standalone"
    assert {"192x192", "512x512"} <= sizes


def test_the_camera_shows_a_picture_on_the_scan_screen(phone, shop):
    phone.context.grant_permissions(["camera"], origin=site(shop))
    open_page(phone, site(shop))
    phone.get_by_role("link", name="Scan").click()

    until(lambda: phone.locator("video").evaluate("video => video.videoWidth") > 0, "the camera gives a picture")


def test_a_notification_shows_once_it_is_allowed(phone, shop):
    phone.context.grant_permissions(["notifications"], origin=site(shop))
    open_page(phone, site(shop))
    phone.get_by_role("link", name="Shop").click()

    expect(phone.get_by_text("Shows a notification when the page is in the background.")).to_be_visible()

    shown = phone.evaluate("""async () => {
        const worker = await navigator.serviceWorker.ready;
        await worker.showNotification("Clamps may come off", { tag: "due" });
        return (await worker.getNotifications()).map(({ title }) => title);
    }""")

    assert ["Clamps may come off"] == shown


def test_the_welcome_page_gives_itself_and_the_authority_and_nothing_else(shop):
    def ask(path: str, method: str = "GET"):
        try:
            return urllib.request.urlopen(urllib.request.Request(shop.welcome + path, method=method), timeout=10)
        except urllib.error.HTTPError as error:
            return error

    page = ask("/")
    words = page.read().decode()
    fingerprint = shop.words.partition("(SHA-256): ")[2].partition("\n")[0]

    assert 200 == page.status
    assert "<script" not in words
    assert fingerprint in words
    assert site(shop) in words
    for path in ("/recipes", "/sync", "/devices", "/app.js", "/worker.js", "/../records/bench.db"):
        answer = ask(path)

        assert answer.status == 404 or answer.read().decode() == words, path
    assert 404 == ask("/pair", "POST").status


def test_the_page_opens_with_the_server_dead(phone, shop):
    open_page(phone, site(shop))
    shop.kill()
    phone.reload()

    expect(phone.get_by_role("heading", level=1)).to_be_visible()

    shop.start()
