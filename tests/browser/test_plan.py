"""The server's plan on the phone: drawn, in words, on paper, tried otherwise, and kept for when the server is away."""

import re
from io import BytesIO

import pypdfium2
import pytest
from browser.conftest import open_page
from browser.maker import closing_in, do_all, expect_synced, glue_next, jobs, post, start_build, title
from playwright.sync_api import Page, Route, expect

LONG, SHORT = 500, 40
"""Minutes to closing time: room for all of a stool, and too little for its glue to set."""


@pytest.fixture
def maker(new_phone, server):
    """Gives a phone in a shop that closes in so many minutes."""

    def closing(minutes: int) -> Page:
        return new_phone(timezone_id=closing_in(server, minutes))

    return closing


def open_plan(page: Page) -> None:
    """From the bench, by its card."""
    page.get_by_role("link", name="Done by").click()
    expect(page.get_by_role("heading", level=1, name="Plan")).to_be_visible()
    expect(page.locator(".job, .day-list .row").first).to_be_visible()


def test_the_day_is_drawn_in_the_order_of_the_work_and_a_tap_opens_the_operation(maker):
    page = maker(LONG)
    open_page(page)
    start_build(page)
    expect_synced(page)
    page.get_by_role("link", name="Bench").click()
    open_plan(page)
    drawn = jobs(page)
    titles = list(map(title, drawn))
    page.locator(".job").nth(1).click()

    assert titles[:4] == ["Cut the sides", "Cut the rail", "Dry fit", "Glue the frame"]
    assert "At the mitre saw, 4 min to set it up" in drawn[0]
    expect(page.get_by_role("heading", level=1, name="Cut the rail")).to_be_visible()


def test_the_list_says_what_the_drawing_shows(maker, server):
    glue_next(server)
    page = maker(LONG)
    open_page(page)
    open_plan(page)
    drawn = jobs(page)
    page.get_by_role("button", name="As a list").click()
    rows = [row.inner_text() for row in page.locator(".day-list a").all()]

    assert len(rows) > 0
    assert [bare(row) for row in rows] == [bare(job).replace("Setup", "", 1) for job in drawn]


def bare(words: str) -> str:
    """Without what only separates; the drawing writes Set up where it draws the strokes."""
    return re.sub(r"[\s.:,]", "", words)


def test_clamps_that_stay_on_overnight_are_out_on_the_next_day(maker, server):
    glue_next(server)
    page = maker(SHORT)
    open_page(page)
    open_plan(page)
    page.get_by_role("button", name="As a list").click()
    first = page.locator(".day-list").inner_text()
    page.get_by_role("button", name="The day after").click()

    assert "2 parallel jaw clamps stay on overnight" in first
    expect(page.locator(".day-list")).to_contain_text("2 parallel jaw clamps still on until 08:0")
    expect(page.locator(".day-list")).to_contain_text("Clamps off: Glue the frame")


def test_what_is_done_leaves_the_plan(maker):
    page = maker(LONG)
    open_page(page)
    start_build(page)
    expect_synced(page)
    do_all(page, "Cut the sides", "Side 1", "Side 2")
    expect_synced(page)
    page.get_by_role("link", name="Bench").click()
    open_plan(page)

    expect(page.locator(".job").first).to_contain_text("Cut the rail")


def test_what_if_is_answered_in_a_sentence_with_each_builds_forecast(maker, server):
    glue_next(server)
    page = maker(SHORT)
    open_page(page)
    open_plan(page)
    page.get_by_label("Other hours").fill("19:00-08:00")
    expect(page.get_by_text("Write it like 08:00-19:00; over midnight like 18:00-01:00.")).to_be_visible()
    page.get_by_label("Other hours").fill("08:00-21:00")
    page.get_by_role("checkbox", name="second pair of hands").check()
    page.get_by_role("button", name="Try it").click()
    answer = post(server, "/plan/what-if", {"hours": "08:00-21:00", "hands": 2})

    expect(page.locator(".outcome")).to_contain_text(answer["sentence"])
    expect(page.locator(".outcome .row")).to_have_count(1)
    expect(page.locator(".outcome .row")).to_contain_text("Stool")


def test_a_slower_glue_can_be_tried(maker, server):
    glue_next(server)
    page = maker(LONG)
    open_page(page)
    open_plan(page)
    page.get_by_label("In place of PVA, plain white or yellow").select_option("Epoxy, slow")
    page.get_by_role("button", name="Try it").click()
    answer = post(server, "/plan/what-if", {"glue": {"pva-interior": "epoxy-slow"}})

    assert answer["sooner_ms"] < 0
    expect(page.locator(".outcome")).to_contain_text(answer["sentence"])
    expect(page.locator(".outcome")).to_contain_text("later than")


def test_with_the_server_away_the_plan_still_shows_and_says_from_when_it_is(maker, server):
    glue_next(server)
    page = maker(LONG)
    open_page(page)
    open_plan(page)
    drawn = jobs(page)
    server.kill()
    page.reload()
    expect(page.get_by_text("by itself: the server is away")).to_be_visible(timeout=20_000)
    page.get_by_role("checkbox", name="Saturdays").check()
    page.get_by_role("button", name="Try it").click()

    assert list(map(title, jobs(page))) == list(map(title, drawn))
    expect(page.get_by_text(re.compile(r"^As of 12:\d\d"))).to_be_visible()
    expect(page.get_by_text(re.compile(r"^What follows the server said at 12:\d\d\.$"))).to_be_visible()
    expect(page.get_by_text("Trying out needs the server, and it is away.")).to_be_visible()
    expect(page.get_by_text("The server does not answer.")).to_be_visible()


def test_with_no_build_open_there_is_nothing_to_plan(phone):
    phone.goto("/plan")

    expect(phone.get_by_text("No build is open, so there is nothing to plan.")).to_be_visible()


def test_in_the_last_hours_the_bench_names_what_can_cure_overnight(maker, server):
    glue_next(server)
    page = maker(SHORT)
    open_page(page)
    evening = page.locator("section", has=page.get_by_role("heading", name="Before you go home"))

    expect(evening.get_by_role("link")).to_have_text(re.compile(r"Begin by 1[23]:\d\d: Glue the frame"))


def test_the_bench_gives_the_plans_reason_for_what_is_next(maker, server):
    build = glue_next(server)
    page = maker(LONG)
    why = "Not a day later: “Stool” is promised for 17:00."

    def with_reason(route: Route) -> None:
        response = route.fetch()
        plan = response.json()
        plan["steps"][0]["reason"] = why
        route.fulfill(response=response, json=plan)

    page.route("**/plan", with_reason)
    open_page(page)

    expect(page.locator(".first-choice")).to_contain_text(why)
    expect(page.locator(".first-choice")).to_have_attribute("href", f"/b/{build}/o/A%2Fglue-frame")


def test_on_paper_each_day_has_a_page_of_its_own(maker, server):
    glue_next(server)
    page = maker(SHORT)
    open_page(page)
    open_plan(page)
    days = page.get_by_text(re.compile(r"Day 1 of \d+")).inner_text()
    pdf = pypdfium2.PdfDocument(BytesIO(page.pdf(format="A4")))
    words = [sheet.get_textpage().get_text_range() for sheet in pdf]
    count = int(days.rsplit(" ", 1)[1])

    assert count >= 2
    # Without spaces: beside words written upwards, the reader of a page with little on it puts each letter on a line.
    dated = [bool(re.search(r"day,?\d+\w+\d{4}", "".join(text.split()))) for text in words]
    assert dated == [True] * count + [False] * (len(words) - count)
    assert "Glue the frame" in words[0]
    assert "Try it" not in "".join(words)
