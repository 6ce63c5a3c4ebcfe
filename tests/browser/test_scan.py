"""Labels before the camera: a film of printed labels stands in for it."""

import re
from contextlib import contextmanager

import pytest
from browser.conftest import PHONE, QUIET, open_page, until
from browser.film import View, bare_square, film
from browser.maker import expect_synced, open_operation, tap
from browser.stool import Stool
from playwright.sync_api import Page, expect, sync_playwright


@pytest.fixture
def stool(server):
    return Stool(server.url)


@pytest.fixture
def filmed(chromium, server, tmp_path):
    """Opens a phone whose camera sees these views over and over, with what the server knows on it."""

    @contextmanager
    def phone(*views, allowed=True):
        with sync_playwright() as playwright:
            switches = [*QUIET, *film(tmp_path / "camera.y4m", views)]
            browser = playwright.chromium.launch(executable_path=chromium, args=switches)
            context = browser.new_context(viewport=PHONE, has_touch=True, base_url=server.url)
            context.grant_permissions(["camera"] if allowed else [], origin=server.url)
            asked = []
            context.on("request", lambda request: asked.append(request.url))
            page = context.new_page()
            open_page(page)
            expect_synced(page)
            yield page
            browser.close()

        assert [url for url in asked if not url.startswith((server.url, "data:", "blob:"))] == []

    return phone


def scan(page: Page, mode: str = "") -> None:
    """Open what is seen, or something else: then the film has to begin with a bare board."""
    page.get_by_role("link", name="Scan").click()
    if mode:
        page.get_by_role("button", name=mode, exact=True).click()


def heading(page: Page, words: str):
    return page.get_by_role("heading", level=1, name=words)


def said(page: Page):
    return page.locator(".answers .met").first


def test_a_label_opens_its_part_with_no_network(filmed, stool, server):
    with filmed(View(1, stool.label("A/side-2"))) as phone:
        server.kill()
        scan(phone)

        expect(heading(phone, "Side 2")).to_be_visible()


def test_of_several_labels_the_tapped_one_opens(filmed, stool):
    with filmed(View(1, stool.label("A/side-1"), stool.label("A/rail"))) as phone:
        scan(phone)
        phone.locator("[aria-label='Labels in view']").get_by_role("button", name="Rail").click()

        expect(heading(phone, "Rail")).to_be_visible()


def test_an_outline_can_be_tapped_too(filmed, stool):
    with filmed(View(1, stool.label("A/side-1"), stool.label("A/rail"))) as phone:
        scan(phone)
        phone.locator(".view polygon").nth(1).click()

        expect(heading(phone, re.compile("Side 1|Rail"))).to_be_visible()


def test_parts_are_ticked_in_a_row_without_leaving_the_camera(filmed, stool):
    views = [
        View(1.5, stool.label("A/side-1")),
        View(1),
        View(1.5, stool.label("A/side-2")),
        View(1),
        View(1.5, stool.label("A/rail")),
        View(1),
    ]
    with filmed(*views) as phone:
        open_operation(phone, "Cut the sides")
        tap(phone, "Begin")
        phone.get_by_role("button", name="Tick by scanning").click()

        expect(phone.locator(".answers")).to_contain_text("Side 1 is through.")
        expect(phone.locator(".answers")).to_contain_text("Side 2 is through.")
        expect(phone.locator(".answers")).to_contain_text(
            "Rail does not go through “Cut the sides”. It was not ticked."
        )
        expect(phone.get_by_text("Every part is ticked.")).to_be_visible()


@pytest.mark.parametrize(
    ("other", "verdict"),
    [
        ("A/rail", r"Yes\. (Side 1, groove, meets Rail, left end|Rail, left end, meets Side 1, groove)\."),
        ("A/side-2", r"No\. Side . and Side . do not meet\."),
    ],
)
def test_two_parts_are_asked_whether_they_meet(filmed, stool, other, verdict):
    with filmed(View(3), View(1.5, stool.label("A/side-1")), View(1.5, stool.label(other))) as phone:
        scan(phone, "Do they meet?")

        expect(phone.locator(".answers")).to_contain_text("Now scan what it should meet")
        expect(phone.locator(".answers")).to_contain_text(re.compile(verdict))


def test_a_foreign_square_is_named_as_such(filmed):
    with filmed(View(1, bare_square("https://example.org/menu"))) as phone:
        scan(phone)

        expect(said(phone)).to_contain_text("This square holds “https://example.org/menu”, which is not a label")


def test_a_label_of_another_shop_is_told_from_ours(filmed):
    with filmed(View(1, bare_square("HTTPS://OTHER.LOCAL/P/BFXR71N8"))) as phone:
        scan(phone)

        expect(said(phone)).to_contain_text("BFXR-71N8 is on no part that this phone knows.")


def test_a_stations_label_opens_its_queue(filmed, stool):
    with filmed(View(1, stool.label("mitre saw"))) as phone:
        scan(phone)

        expect(heading(phone, "Mitre saw")).to_be_visible()
        expect(phone.get_by_role("link", name="Cut the sides")).to_be_visible()


def test_a_refused_camera_is_said_and_a_typed_code_works(filmed, stool):
    with filmed(View(1), allowed=False) as phone:
        scan(phone)

        expect(phone.locator(".notice")).to_contain_text("This page may not use the camera.")
        expect(phone.locator(".notice")).to_contain_text("Or type the code beside the square.")

        phone.get_by_label("Code beside the square").fill(stool.codes["A/rail"].lower())
        phone.get_by_role("button", name="Find the part").click()

        expect(heading(phone, "Rail")).to_be_visible()


def test_the_lamp_is_offered_where_the_camera_has_one_and_turned_on_and_off(filmed):
    # W3C Image Capture, section 8: a track with a lamp has “torch” among its capabilities. The film has none.
    lamp = """(() => {
      const track = MediaStreamTrack.prototype;
      window.asked = [];
      track.getCapabilities = () => ({ torch: true });
      track.applyConstraints = async ({ advanced: [{ torch }] }) => { window.asked.push(torch); };
    })()"""
    with filmed(View(1)) as phone:
        scan(phone)
        until(lambda: phone.evaluate("document.querySelector('video')?.srcObject?.active"), "the camera runs")
        expect(phone.get_by_role("button", name="Lamp")).to_have_count(0)
        phone.get_by_role("link", name="Bench").click()
        phone.evaluate(lamp)
        scan(phone)
        phone.get_by_role("button", name="Lamp").click()
        expect(phone.get_by_role("button", name="Lamp", pressed=True)).to_be_visible()
        phone.get_by_role("button", name="Lamp").click()
        expect(phone.get_by_role("button", name="Lamp", pressed=False)).to_be_visible()

        assert phone.evaluate("asked") == [True, False]


def test_the_camera_is_let_go_when_the_screen_is_left(filmed):
    with filmed(View(1)) as phone:
        scan(phone)
        until(lambda: phone.evaluate("document.querySelector('video')?.srcObject?.active"), "the camera runs")
        stream = phone.evaluate_handle("document.querySelector('video').srcObject")
        phone.get_by_role("link", name="Bench").click()
        expect(phone.locator("video")).to_have_count(0)

        assert not phone.evaluate("stream => stream.active", stream)
