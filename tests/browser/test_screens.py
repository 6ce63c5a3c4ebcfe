"""Every screen: readable by everybody, large enough for a thumb, in light and dark."""

import pytest
from browser.camera import camera_picture, expect_shown, take
from browser.conftest import open_page
from browser.maker import closing_in, expect_synced, glue_next, open_operation, start_build, tap
from build_page import PWA
from playwright.sync_api import Page, expect

AXE = PWA / "node_modules" / "axe-core" / "axe.min.js"
GRAVE = {"serious", "critical"}

LEAST, LEAST_MAIN = 48, 56
"""CSS pixels. WCAG 2.2 success criterion 2.5.5 asks for 44 (AAA); gloves and dust for more."""

SMALL_PHONE = 320
"""CSS pixels, as WCAG 2.2 success criterion 1.4.10 has it."""

TOO_SMALL = """([least, leastMain]) => [
  ...document.querySelectorAll('button, a[href], input, select, textarea, summary')]
  .filter((e) => e.checkVisibility() && !e.closest('[inert]'))
  .map((e) => [e, (e.matches('[type=radio], [type=checkbox]') ? e.closest('label') : e).getBoundingClientRect()])
  .filter(([e, box]) => box.height < (e.matches('.main') ? leastMain : least) || box.width < least)
  .map(([e, box]) => `${e.outerHTML.slice(0, 90)}: ${Math.round(box.width)} x ${Math.round(box.height)}`)"""


def violations(page: Page) -> list[str]:
    """What axe-core finds serious or worse: everything in light, what hangs on colours in dark too."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("axe.run().then((r) => r.violations)")
    page.emulate_media(color_scheme="dark")
    found += page.evaluate("axe.run({ runOnly: ['color-contrast'] }).then((r) => r.violations)")
    page.emulate_media(color_scheme="light")
    return [f"{v['id']}: {v['nodes'][0]['html']}" for v in found if v["impact"] in GRAVE]


def look(page: Page, where: str) -> None:
    """Neither axe nor a thumb has anything against this screen, and nothing hangs over its side; small phones too."""
    assert violations(page) == [], where
    own = page.viewport_size
    for width in (SMALL_PHONE, own["width"]):
        page.set_viewport_size({**own, "width": width})
        page.evaluate("new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)))")
        assert page.evaluate(TOO_SMALL, [LEAST, LEAST_MAIN]) == [], f"{where}, {width} wide"
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), f"{where} hangs over at {width}"


def test_every_screen_can_be_read_and_tapped_by_everybody_in_light_and_dark(phone):
    page = phone
    look(page, "empty bench")
    build = start_build(page, pieces=2)
    look(page, "build")
    open_operation(page, "Cut the sides")
    look(page, "operation, ready")
    tap(page, "Begin")
    look(page, "operation, in hand")
    page.get_by_role("button", name="Write down as set").click()
    look(page, "setting up")
    page.keyboard.press("Escape")
    tap(page, "Finish")
    look(page, "finishing")
    page.keyboard.press("Escape")
    page.get_by_role("link", name="About Side 1").first.click()
    look(page, "part")
    page.get_by_role("button", name="Spoiled").click()
    look(page, "spoiling")
    page.keyboard.press("Escape")
    places = (
        "/",
        "/plan",
        "/scan",
        "/builds",
        "/recipes",
        "/recipes/step-stool",
        "/shop",
        "/wall",
        "/pair",
        f"/b/{build}/cut",
        f"/b/{build}/log",
        f"/batch/{build}%20A%2Fcut-sides,{build}%20B%2Fcut-sides",
    )
    for path in places:
        page.goto(path)
        expect(page.get_by_role("heading", level=1)).to_be_visible()
        page.wait_for_timeout(300)
        look(page, path)


def test_what_a_label_leads_to_and_how_it_is_printed_can_be_read_and_tapped_by_everybody(phone):
    page = phone
    build = start_build(page, pieces=2)
    expect_synced(page)
    open_operation(page, "Cut the sides")
    page.get_by_role("link", name="About Side 1").first.click()
    code = page.locator(".code").first.inner_text().replace("-", "")
    for path in (f"/b/{build}/print", f"/P/{code}", "/P/0000000G", "/S/MITRE-SAW", "/U/SIDE-LENGTH", "/C/PARALLEL-JAW"):
        page.goto(path)
        expect(page.get_by_role("heading", level=1)).to_be_visible()
        page.wait_for_timeout(300)
        look(page, path)


def test_photos_can_be_seen_and_tapped_by_everybody(phone):
    page = phone
    build = start_build(page)
    open_operation(page, "Cut the sides")
    page.get_by_role("link", name="About Side 1").first.click()
    take(page, camera_picture(400, 300))
    expect_shown(page)
    look(page, "photo in a history")
    page.locator(".picture").click()
    look(page, "photo whole")
    page.keyboard.press("Escape")
    page.goto(f"/b/{build}/log")
    expect_shown(page, 2)  # the log tells it in its story and by part
    look(page, "photo in the log")


def test_the_ring_card_and_running_clocks_can_be_read_and_tapped_by_everybody(new_phone, server):
    page = new_phone()
    page.clock.install()
    open_page(page, f"/b/{glue_next(server)}/o/A%2Fglue-frame")
    tap(page, "Begin")
    tap(page, "Glue on")
    look(page, "open time")
    server.kill()  # it would tell the phone that these minutes have not passed
    page.clock.fast_forward(3 * 60_000)
    expect(page.locator(".ring-card")).to_be_visible()
    look(page, "ring card")


@pytest.mark.parametrize("width", [320, 390])
def test_the_plan_can_be_read_and_tapped_by_everybody(new_phone, server, width):
    glue_next(server)
    page = new_phone(viewport={"width": width, "height": 844}, timezone_id=closing_in(server, 40))
    open_page(page)
    expect(page.get_by_role("link", name="Done by")).to_be_visible()
    expect(page.get_by_role("heading", name="Before you go home")).to_be_visible()
    look(page, "bench before closing time")
    page.get_by_role("link", name="Done by").click()
    expect(page.locator(".job").first).to_be_visible()
    look(page, "plan")
    page.get_by_role("button", name="The day after").click()
    look(page, "next day's plan, clamps out from the day before")
    page.get_by_role("button", name="As a list").click()
    look(page, "plan as a list")
    expect(page.get_by_text("To try more parallel jaw clamps, first count yours under Shop.")).to_be_visible()
    page.get_by_text("Work on Saturdays too").click()
    page.get_by_role("button", name="Try it").click()
    expect(page.locator(".outcome")).to_be_visible()
    look(page, "what if")


def test_a_small_phone_shows_the_ring_cards_buttons_whole(new_phone, server):
    page = new_phone(viewport={"width": 360, "height": 640})
    page.clock.install()
    open_page(page, f"/b/{glue_next(server)}/o/A%2Fglue-frame")
    tap(page, "Begin")
    tap(page, "Glue on")
    server.kill()  # it would tell the phone that these minutes have not passed
    page.clock.fast_forward(3 * 60_000)
    expect(page.locator(".ring-card .button")).to_have_count(3)
    for button in page.locator(".ring-card .button").all():
        expect(button).to_be_in_viewport(ratio=1)


def test_the_page_can_be_put_on_the_home_screen(phone):
    manifest = phone.evaluate("fetch(document.querySelector('link[rel=manifest]').href).then((r) => r.json())")
    icons = phone.evaluate(
        """(icons) => Promise.all(icons.map(async ({ src }) => {
          const picture = new Image(); picture.src = src; await picture.decode(); return picture.naturalWidth; }))""",
        [icon for icon in manifest["icons"] if icon["type"] == "image/png"],
    )

    assert {"name", "start_url", "display", "icons"} <= manifest.keys()
    assert icons == [192, 512, 512]
