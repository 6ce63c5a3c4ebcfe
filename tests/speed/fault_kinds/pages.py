"""Faults that are the page's own to bear: a phone's wrong clock, answers that cannot be read, a poisoned log.

The page runs in Chromium, beside a witness that is another phone.
"""

import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from browser.conftest import PHONE, QUIET, open_page
from browser.maker import expect_synced
from histories.phone import Cut
from msgspec.structs import replace
from playwright.sync_api import BrowserContext, Page, Route, sync_playwright
from speed.fault_kinds.judgement import Outcome
from speed.fault_kinds.stamps import LARGEST
from speed.fault_kinds.trial import Trial, local, phone_of

HOURS_AHEAD = """(() => {
  const real = Date, ahead = 3 * 3600 * 1000;
  globalThis.Date = class extends real {
    constructor(...told) { told.length ? super(...told) : super(real.now() + ahead); }
    static now() { return real.now() + ahead; }
  };
})()"""
"""The phone's wall is three hours ahead, also after a reload."""

RING_CARD = "dialog.ring-card[open]"
WATCHED_S = 6
HOUR = 3600.0


@contextmanager
def chromium(trial: Trial, script: str = "") -> Iterator[tuple[BrowserContext, Page]]:
    """A phone's browser with the page open and its worker in charge. script: run before each load of the page."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=QUIET)
        try:
            context = browser.new_context(viewport=PHONE, has_touch=True, base_url=trial.server.url)
            if script:
                context.add_init_script(script)
            page = context.new_page()
            open_page(page)
            yield context, page
        finally:
            browser.close()


def phone_ahead(folder: Path) -> Outcome:
    """A phone three hours ahead learns the server's time, loses the network and is loaded anew within seconds.

    A clock that runs another hour does not ring on it.
    """
    with local(folder, seconds=HOUR) as trial, chromium(trial, HOURS_AHEAD) as (context, page):
        trial.unheard.add(trial.phone.clamp())
        trial.phone.deliver()
        page.get_by_text("In clamps").first.wait_for()
        context.set_offline(True)
        page.reload()
        page.get_by_text("In clamps").first.wait_for()
        rang = rings_within(page, WATCHED_S)
        context.set_offline(False)
        trial.tries += 1
        trial.phone.begin(3)
        trial.recover()
        outcome = trial.judged()
        return replace(outcome, early=outcome.early + rang)


def rings_within(page: Page, seconds: float) -> bool:
    """Whether the page rings within so many seconds."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        if page.locator(RING_CARD).count():
            return True
        page.wait_for_timeout(100)
    return False


def garbled_answers(folder: Path) -> Outcome:
    """Every answer to the page's syncs has one other byte and cannot be read.

    What is tapped meanwhile waits, and the page says so. Once answers are whole again it reaches the server, once.
    """
    with local(folder) as trial, chromium(trial) as (_, page):
        page.route("**/sync", garble)
        tap_first(page, trial)
        page.wait_for_timeout(3000)
        said = page.get_by_role("status").first.inner_text()
        trial.expect("All is with the server" not in said, f"on garbled answers the page says “{said}”")
        page.unroute("**/sync")
        trial.tries += 1
        return tapped_arrived(trial, page)


def garble(route: Route) -> None:
    """Pass the request on, and change the first byte of the answer, so that it cannot be read."""
    answer = route.fetch()
    content = bytearray(answer.body())
    content[0] ^= 0x80
    route.fulfill(response=answer, body=bytes(content))


def poisoned_log(folder: Path) -> Outcome:
    """A page meets an entry with the largest stamp there is, unless the server keeps it out.

    What is tapped afterwards reaches the server.
    """
    with local(folder) as trial:
        other = phone_of(trial.server, "b")
        other.build = trial.phone.build
        other.tell({"kind": "noted", "text": "from far ahead"}, LARGEST)
        try:
            other.deliver(2)
        except Cut:
            other.waits.clear()  # refused: it stays with that phone, which was told so
        with chromium(trial) as (_, page):
            tap_first(page, trial)
            trial.tries += 1
            return tapped_arrived(trial, page)


def tap_first(page: Page, trial: Trial) -> None:
    """Begin the first operation of the witness's build."""
    page.goto(f"/b/{trial.phone.build}")
    page.get_by_role("link", name=trial.phone.glue_up(0)).first.click()
    page.locator(".deeds .main").click()


def tapped_arrived(trial: Trial, page: Page) -> Outcome:
    """The outcome, after what was tapped on the page had its time to arrive; lost where it did not."""
    try:
        expect_synced(page)
    except AssertionError:
        trial.broken.append(f"the page never said that all is with the server: “{status_of(page)}”")
    trial.recover()
    outcome = trial.judged()
    known = {phone.device for phone in [*trial.phones, trial.reader()]}
    arrived = [
        entry for entry in trial.log() if entry["at"]["device"] not in known and entry["build"] == trial.phone.build
    ]
    return replace(outcome, lost=outcome.lost + (not any(entry["what"]["kind"] == "began" for entry in arrived)))


def status_of(page: Page) -> str:
    """What the page says of the server."""
    return page.get_by_role("status").first.inner_text()
