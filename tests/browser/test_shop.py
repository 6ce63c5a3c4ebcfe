"""The Shop screen: hours, quiet hours, and what still rings with the page closed."""

import urllib.error
import urllib.request
from datetime import timedelta

import icalendar
from browser.maker import do_all, expect_synced, open_operation, post, start_build, tap
from playwright.sync_api import Page, expect


def open_shop(page: Page) -> None:
    page.get_by_role("link", name="Shop").click()
    expect(page.get_by_role("heading", level=1, name="Shop")).to_be_visible()


def test_hours_are_kept_and_a_slip_is_named(phone):
    open_shop(phone)
    phone.get_by_label("Quiet hours").fill("9 to 7")
    expect(phone.get_by_text("Write it like 08:00-17:00.")).to_be_visible()
    phone.get_by_label("Quiet hours").fill("21:00-07:00")
    phone.get_by_role("button", name="Keep it").click()
    expect(phone.get_by_role("button", name="Keep it")).to_have_count(0)
    phone.reload()

    expect(phone.get_by_label("Quiet hours")).to_have_value("21:00-07:00")


def test_breaks_and_closed_dates_are_kept_in_the_settings(phone):
    open_shop(phone)
    phone.get_by_label("The shop's hours").fill("08:00-17:00")
    phone.get_by_label("Breaks").fill("17:00-17:30")
    expect(phone.get_by_text("The break 17:00-17:30 is not inside the hours.")).to_be_visible()
    phone.get_by_label("Breaks").fill("12:00-12:30")
    phone.get_by_role("button", name="Keep it").click()
    phone.get_by_label("First day off").fill("2099-12-24")
    phone.get_by_label("Last day off").fill("2099-12-01")
    expect(phone.get_by_text("The last day is before the first one.")).to_be_visible()
    phone.get_by_label("Last day off").fill("2099-12-31")
    phone.get_by_label("What for").fill("Christmas")
    phone.get_by_role("button", name="The shop is closed then").click()
    phone.reload()

    expect(phone.get_by_label("The shop's hours")).to_have_value("08:00-17:00")
    expect(phone.get_by_label("Breaks")).to_have_value("12:00-12:30")
    expect(phone.get_by_text("Thu 24 Dec 2099 to Thu 31 Dec 2099")).to_be_visible()
    phone.get_by_role("button", name="Take back").click()
    expect(phone.get_by_text("Christmas")).to_have_count(0)


def test_people_are_named_with_what_they_may_not_use_and_when_they_are_away(phone):
    open_shop(phone)
    for name in ("Anna", "Otto"):
        phone.get_by_label("Who works here").fill(name)
        phone.get_by_role("button", name=f"Add {name}").click()
    phone.get_by_role("button", name="Otto").click()
    sheet = phone.get_by_role("dialog", name="Otto")
    sheet.get_by_role("button", name="Band saw").click()
    sheet.get_by_label("First day off").fill("2099-12-24")
    sheet.get_by_role("button", name="Otto is away then").click()
    sheet.get_by_label("Other hours than the shop's").check()
    sheet.get_by_label("Their hours").fill("08:00-12:00")
    sheet.get_by_role("button", name="Keep these hours").click()
    sheet.get_by_role("button", name="Close").click()
    phone.reload()

    facts = "Not the band saw. Own hours, 08:00-12:00. Away Thu 24 Dec 2099."
    expect(phone.get_by_text(facts)).to_be_visible()
    phone.get_by_role("button", name="Otto").click()
    phone.get_by_role("button", name="Otto works here no more").click()
    expect(phone.get_by_text(facts)).to_have_count(0)


def test_a_private_calendar_address_gives_a_calendar_until_it_is_void(phone):
    open_shop(phone)
    phone.get_by_role("button", name="Make an address").click()
    address = phone.locator(".address code").inner_text()
    feed = icalendar.Calendar.from_ical(urllib.request.urlopen(address).read())
    phone.get_by_role("button", name="No more").click()
    expect(phone.get_by_text("No calendar follows the clocks.")).to_be_visible()

    assert feed["VERSION"] == "2.0"
    assert status_of(address) == 404


def status_of(address: str) -> int:
    try:
        return int(urllib.request.urlopen(address).status)
    except urllib.error.HTTPError as error:
        return int(error.code)


def test_a_browser_that_cannot_be_pushed_to_says_so_with_a_next_step(phone):
    # Chromium here has no push service behind it: subscribing fails or never ends.
    open_shop(phone)
    phone.get_by_role("button", name="Push to this device").click()

    expect(phone.get_by_text("Look whether this device has internet, then try again.")).to_be_visible(timeout=25_000)


def test_a_running_clock_goes_into_the_calendar_with_an_alarm_and_no_server(phone, server):
    build = start_build(phone)
    do_all(phone, "Cut the sides", "Side 1", "Side 2")
    do_all(phone, "Cut the rail", "Rail")
    do_all(phone, "Dry fit", "Side 1", "Side 2", "Rail", good=1)
    open_operation(phone, "Glue the frame")
    for deed in ("Begin", "Glue on", "Clamped"):
        tap(phone, deed)
    expect_synced(phone)
    address = post(server, "/alerts/calendar", {}, method="PUT")["path"]
    feed = icalendar.Calendar.from_ical(urllib.request.urlopen(f"{server.url}{address}").read())
    (published,) = [event for event in feed.walk("VEVENT") if event["SUMMARY"].startswith("Clamps may come off")]
    server.kill()
    phone.goto(f"/b/{build}/o/A%2Fglue-frame")
    with phone.expect_download() as saved:
        phone.get_by_role("button", name="Into my calendar").last.click()
    (event,) = icalendar.Calendar.from_ical(saved.value.path().read_bytes()).walk("VEVENT")

    assert saved.value.suggested_filename == f"{event['UID']}.ics"
    assert [event[name] for name in SAME] == [published[name] for name in SAME]
    assert alarms_of(event) == alarms_of(published) == [("DISPLAY", timedelta(0), event["SUMMARY"])]
    assert event["SEQUENCE"] >= published["SEQUENCE"]


SAME = ("UID", "SUMMARY", "DESCRIPTION", "DTSTART", "DTEND", "STATUS", "TRANSP", "CLASS")


def alarms_of(event) -> list[tuple]:
    """Each alarm's kind, when it rings after the start, and its words."""
    return [(alarm["ACTION"], alarm["TRIGGER"].dt, alarm["DESCRIPTION"]) for alarm in event.walk("VALARM")]


def test_clamps_are_counted_none_of_a_kind_too_and_not_counted_is_something_else(phone):
    open_shop(phone)
    row = phone.locator("li.stepper", has_text="Pipe")
    fewer, more = row.get_by_role("button").first, row.get_by_role("button").last

    steps = [(more, "1"), (more, "2"), (fewer, "1"), (fewer, "0"), (fewer, "–"), (fewer, "0"), (more, "1")]
    for button, shown in steps:
        button.click()
        expect(row.locator("output")).to_have_text(shown)
