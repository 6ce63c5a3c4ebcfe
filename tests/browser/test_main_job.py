"""From a recipe to clamps off on a phone, with the server killed in the middle."""

import re

from browser.conftest import open_page
from browser.maker import (
    IN_TURN,
    do_all,
    expect_synced,
    glue_next,
    log_of,
    main_button,
    open_operation,
    start_build,
    tap,
    tick,
)
from playwright.sync_api import expect

MINUTE = 60_000

HIDE = "Object.defineProperty(document, 'visibilityState', { value: 'hidden', configurable: true })"
SHOW = "delete document.visibilityState"
NOTICES = f"""navigator.serviceWorker.ready
    .then((worker) => ({IN_TURN})(() => worker.getNotifications()))
    .then((all) => all.map((n) => n.title))"""


def seconds_left(page) -> int:
    """What the large figures of the open time show."""
    minutes, seconds = re.match(r"(\d+):(\d+)", page.locator(".urgent .digits").inner_text()).groups()
    return int(minutes) * 60 + int(seconds)


def begin_glue(page, server) -> None:
    """Opens the page and begins the glue-up, with everything before it done on another phone."""
    build = glue_next(server)
    open_page(page, f"/b/{build}/o/A%2Fglue-frame")
    tap(page, "Begin")


def clamp_up(page) -> None:
    """Glue on, and into clamps."""
    tap(page, "Glue on")
    tap(page, "Clamped")
    expect(page.locator(".status-line")).to_contain_text("In clamps")


def test_an_empty_bench_says_what_to_do_first(phone):
    expect(phone.get_by_text("No build is open.")).to_be_visible()
    expect(main_button(phone, "Start a build")).to_be_visible()


def test_the_bench_leads_into_the_first_operation_with_one_tap(phone):
    start_build(phone, name="For the hall")
    phone.get_by_role("link", name="Bench").click()
    first = phone.locator(".first-choice")

    expect(first).to_contain_text("Cut the sides")

    first.click()

    expect(phone.get_by_role("heading", level=1, name="Cut the sides")).to_be_visible()
    expect(main_button(phone, "Begin")).to_be_visible()


def test_a_setup_keeps_what_was_really_set_beside_the_plan(phone):
    start_build(phone)
    open_operation(phone, "Cut the sides")
    phone.get_by_role("button", name="Write down as set").click()
    phone.get_by_label("stop", exact=True).fill("220.5")
    phone.get_by_role("checkbox").check()
    phone.get_by_role("button", name="Keep as set").click()

    expect(phone.locator(".setup")).to_contain_text("220 mm")
    expect(phone.locator(".setup")).to_contain_text("as set 220.5 mm")
    expect(phone.locator(".setup")).to_contain_text("proved on scrap")


def test_a_size_as_built_replaces_the_drawings_and_says_when_it_is_off(phone):
    start_build(phone)
    do_all(phone, "Cut the sides", "Side 1", "Side 2")
    open_operation(phone, "Cut the rail")
    tap(phone, "Begin")
    phone.get_by_role("button", name="Measure").click()
    phone.get_by_label("As measured").fill("10 3/16 in")

    expect(phone.get_by_role("dialog")).to_contain_text("1.2 mm off the plan, 0.5 mm is allowed")

    phone.get_by_role("button", name="Keep this size").click()

    expect(phone.locator(".sizes").last).to_contain_text("258.8 mm")
    expect(phone.locator(".sizes").last).to_contain_text("as built, plan 260 mm")


def test_finishing_names_what_is_left_and_wants_it_done_or_a_reason(phone):
    start_build(phone)
    open_operation(phone, "Cut the sides")
    tap(phone, "Begin")
    tick(phone, "Side 1")
    tap(phone, "Finish")
    sheet = phone.get_by_role("dialog")

    expect(sheet).to_contain_text("Side 2")

    sheet.get_by_role("button", name="Finish as it is").click()

    expect(sheet).to_contain_text("No reason given.")

    sheet.get_by_role("button", name="Done, not ticked").click()
    sheet.get_by_role("button", name="Finish as it is").click()

    expect(phone.get_by_text("This is done.")).to_be_visible()


def test_what_comes_before_is_named_and_beginning_early_wants_a_reason(phone):
    start_build(phone)
    open_operation(phone, "Cut the rail")

    expect(phone.locator(".deeds")).to_contain_text("Waits for: Cut the sides.")

    tap(phone, "Begin")
    sheet = phone.get_by_role("dialog")
    sheet.get_by_role("button", name="Begin all the same").click()

    expect(sheet).to_contain_text("No reason given.")


def test_undo_takes_the_last_thing_back(phone):
    start_build(phone)
    open_operation(phone, "Cut the sides")
    tap(phone, "Begin")
    phone.get_by_role("button", name="Undo last").click()

    expect(phone.locator(".status-line")).to_contain_text("Ready")


def test_open_time_counts_down_in_figures_to_be_read_across_the_bench(new_phone, server):
    page = new_phone()
    page.clock.install()
    begin_glue(page, server)
    tap(page, "Glue on")
    server.kill()  # it would tell the phone that this minute has not passed
    before = seconds_left(page)
    page.clock.fast_forward(MINUTE)
    page.wait_for_timeout(100)
    after = seconds_left(page)

    assert 58 <= before - after <= 63
    assert page.locator(".urgent .digits").bounding_box()["height"] >= 72


def test_clamps_do_not_come_off_early_without_a_reason(new_phone, server):
    phone = new_phone()
    begin_glue(phone, server)
    clamp_up(phone)
    tap(phone, "Clamps off")
    sheet = phone.get_by_role("dialog")

    expect(sheet).to_contain_text("They should stay on until")

    sheet.get_by_role("button", name="Take them off all the same").click()

    expect(sheet).to_contain_text("No reason given.")

    phone.keyboard.press("Escape")

    expect(phone.locator(".status-line")).to_contain_text("In clamps")


def test_clamps_come_off_early_with_a_reason_that_the_log_keeps(new_phone, server):
    phone = new_phone()
    begin_glue(phone, server)
    clamp_up(phone)
    tap(phone, "Clamps off")
    phone.get_by_role("button", name="Needed the clamps elsewhere").click()
    phone.get_by_role("button", name="Take them off all the same").click()

    expect(phone.locator(".status-line")).to_contain_text("In hand")

    phone.goto(phone.url.split("/o/")[0] + "/log")

    expect(phone.get_by_text("Needed the clamps elsewhere").first).to_be_visible()


def test_the_whole_job_goes_on_with_the_server_dead_and_syncs_without_doubles(new_phone, server):
    page = new_phone()
    page.clock.install()
    open_page(page)
    start_build(page)
    do_all(page, "Cut the sides", "Side 1", "Side 2")
    do_all(page, "Cut the rail", "Rail")
    do_all(page, "Dry fit", "Side 1", "Side 2", "Rail", good=1)
    open_operation(page, "Glue the frame")
    tap(page, "Begin")
    clamp_up(page)
    build = page.url.split("/b/")[1].split("/")[0]
    expect_synced(page)
    server.kill()
    page.reload()

    expect(page.locator(".status-line")).to_contain_text("In clamps")

    page.clock.fast_forward(61 * MINUTE)
    ring = page.locator(".ring-card")

    expect(ring).to_contain_text("Pare the squeeze-out")

    ring.get_by_role("button", name="Pared").click()

    expect(ring).to_contain_text("Clamps may come off")
    expect(ring).to_contain_text("Since")

    ring.get_by_role("button", name="Clamps off").click()
    expect(ring).to_have_count(0)
    page.get_by_role("link", name="Shop").click()
    open_operation(page, "Glue the frame")
    tick(page, "Side 1", "Side 2", "Rail")
    page.locator(".check").get_by_role("button", name="Good", exact=True).click()
    tap(page, "Finish")

    expect(page.get_by_role("status").first).to_contain_text(re.compile("things? waits? on this phone since"))

    server.start()
    expect_synced(page)
    kinds = [entry["kind"] for entry in log_of(server, build)["entries"]]

    for kind in ("glue-on", "clamped", "pared", "clamps-off"):
        assert kinds.count(kind) == 1
    assert kinds.count("ticked") == 9
    assert kinds.count("finished") == 4


def test_what_rings_sounds_and_shows_a_notification_when_nobody_looks(new_phone, server):
    page = new_phone()
    page.clock.install()
    begin_glue(page, server)
    tap(page, "Glue on")
    expect_synced(page)
    server.kill()  # it would tell the phone that these minutes have not passed, and what rang would ring no more
    page.evaluate(HIDE)
    page.clock.fast_forward(3 * MINUTE)

    expect(page.locator("html")).to_have_attribute("data-rings", "open")
    page.wait_for_function(f"{NOTICES}.then((all) => all.join() === 'Two minutes of open time left')")

    page.evaluate(SHOW)
    page.locator(".ring-card").get_by_role("button", name="Clamped").click()

    expect(page.locator("html")).to_have_attribute("data-rings", "")
    page.wait_for_function(f"{NOTICES}.then((all) => all.length === 0)")


def test_sizes_are_shown_in_the_units_this_device_chose_after_a_reload_too(phone):
    start_build(phone)
    open_operation(phone, "Cut the sides")
    phone.get_by_role("link", name="Shop").click()
    phone.get_by_role("radio", name="Inches").check()
    phone.wait_for_timeout(300)
    phone.reload()
    open_operation(phone, "Cut the sides")

    expect(phone.locator(".setup")).to_contain_text("8 21/32 in")  # 220 mm / 25.4 = 8.661 in
