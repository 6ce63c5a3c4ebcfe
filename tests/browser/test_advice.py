"""Advice that can be followed: clamps that are out, open glue, a part that is spoiled, and a maker here after hours."""

import re
import time

import pytest
from browser.conftest import open_page
from browser.maker import closing_in, expect_synced, glue_next, log_of, post, tap, uuid7
from playwright.sync_api import Page, expect

FOREMAN = "00000000000000d4"
MINUTE = 60_000


def tell(server, *told: tuple[str, int, dict]) -> None:
    """What another phone has recorded: the build, so many minutes ago, what."""
    now = time.time_ns() // 1_000_000
    happenings = [
        {
            "id": uuid7(now - ago * MINUTE + n),
            "n": n,
            "at": {"ms": now - ago * MINUTE + n, "counter": 0, "device": FOREMAN},
            "build": build,
            "about": [],
            "what": what,
        }
        for n, (build, ago, what) in enumerate(told, start=1)
    ]
    post(server, "/sync", {"page": 2, "after": 0, "log_epoch": "", "happenings": happenings}, FOREMAN)


def section(page: Page, title: str):
    """A block of the bench by its heading."""
    return page.locator("section.block", has=page.get_by_role("heading", name=title, exact=True))


def test_with_all_clamps_out_a_glue_up_waits_for_them_and_begin_asks(new_phone, server):
    first, second = glue_next(server), uuid7(time.time_ns() // 1_000_000)
    post(server, "/builds", {"id": second, "recipe": "step-stool", "pieces": 1, "name": "Second"})
    tell(
        server,
        *(
            (second, 20, {"kind": "finished", "operation": f"A/{name}"})
            for name in ("cut-sides", "cut-rail", "dry-fit")
        ),
        ("", 60, {"kind": "kept", "setting": "clamps", "value": {"parallel jaw": 2}}),
        (first, 12, {"kind": "began", "operation": "A/glue-frame"}),
        (first, 10, {"kind": "glue-on", "operation": "A/glue-frame"}),
        (first, 5, {"kind": "clamped", "operation": "A/glue-frame"}),
    )
    page = new_phone()
    open_page(page)
    waiting = section(page, "Waiting for clamps")

    expect(waiting).to_contain_text(re.compile(r"2 of 2 out, next free .*\d\d:\d\d"))
    expect(page.locator(".first-choice", has_text="Glue the frame")).to_have_count(0)

    waiting.get_by_role("link", name="Glue the frame").click()
    tap(page, "Begin")
    dialog = page.get_by_role("dialog")
    expect(dialog).to_contain_text("It takes 2 parallel jaw clamps, and 0 of 2 are free.")
    dialog.get_by_role("button", name="Borrowed some").click()
    dialog.get_by_role("button", name="Begin with other clamps").click()
    expect(page.get_by_text("In hand", exact=True)).to_be_visible()
    expect_synced(page)

    assert "Too few clamps: Borrowed some" in str(log_of(server, second))


def spread_beside_squeeze_out(server, spread_ago):
    """The first stool's squeeze-out can be pared; the second's glue was spread so many minutes ago."""
    first, second = glue_next(server), uuid7(time.time_ns() // 1_000_000)
    post(server, "/builds", {"id": second, "recipe": "step-stool", "pieces": 1, "name": "Second"})
    marks = [
        (first, 30, "began"), (first, 26, "glue-on"), (first, 22, "clamped"),
        (second, spread_ago + 1, "began"), (second, spread_ago, "glue-on"),
    ]  # fmt: skip
    tell(
        server,
        *(
            (second, 60, {"kind": "finished", "operation": f"A/{name}"})
            for name in ("cut-sides", "cut-rail", "dry-fit")
        ),
        *((build, ago, {"kind": kind, "operation": "A/glue-frame"}) for build, ago, kind in marks),
    )


@pytest.mark.parametrize(
    ("spread_ago", "says", "own_ring"),
    [
        (1, "Open time runs: bring the faces together", None),
        (8, "Open time is over: clamp it now if the glue still wets", "Open time is over"),
    ],
)
def test_open_glue_stays_first_and_squeeze_out_rings_once_it_is_clamped(server, new_phone, spread_ago, says, own_ring):
    spread_beside_squeeze_out(server, spread_ago)
    page = new_phone()
    open_page(page)
    ring, first = page.locator(".ring-card"), page.locator(".first-choice")

    expect(first).to_contain_text("Second")
    expect(first).to_contain_text(says)
    expect(section(page, "Ready too")).to_contain_text("The squeeze-out is ready to pare.")
    if own_ring:
        expect(ring).to_contain_text(own_ring)
        ring.get_by_role("button", name="Heard").click()
    expect(ring).to_have_count(0)

    first.click()
    tap(page, "Clamped")

    expect(ring).to_contain_text("Pare the squeeze-out")


def test_a_spoiled_part_is_offered_to_be_made_again_before_anything_else(new_phone, server):
    build = glue_next(server)
    tell(server, (build, 1, {"kind": "spoiled", "part": "A/side-1", "reason": "Tear-out or split"}))
    page = new_phone()
    open_page(page)

    expect(page.locator(".notice.grave")).to_contain_text("Side 1 is spoiled. Make it again first.")
    expect(page.get_by_text("Nothing else can be done before that is made again.")).to_be_visible()

    page.get_by_role("button", name="Make it again").click()

    expect(page.get_by_text("Its label is new.")).to_be_visible()
    page.get_by_role("link", name="Bench").click()
    expect(page.locator(".first-choice")).to_contain_text("Cut the sides")
    expect(page.locator(".notice.grave")).to_have_count(0)


def test_after_hours_what_is_next_is_for_now_and_not_for_the_next_morning(new_phone, server):
    glue_next(server)
    page = new_phone(timezone_id=closing_in(server, -60))
    open_page(page)
    page.get_by_role("link", name="Done by").wait_for()  # the plan is here, for the next morning

    expect(section(page, "Next").locator(".first-choice")).to_contain_text("Glue the frame")
    expect(page.locator(".first-choice")).not_to_contain_text("Planned for")
