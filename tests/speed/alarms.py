"""Whether and when alarms reach the person, one `name: value` a line.

ring_late_p50_s, ring_late_p99_s: from a clock's moment to the card on an open page, in Chromium, seconds.
ring_early, ring_missed: of those, how many came before their moment, how many not at all.
silent_elsewhere_p99_s: from the tap on Heard to the card's going on a second phone.
push_late_p99_s: from a clock's moment to the push service's having the message; all three over RINGS clocks.
month_…: a simulated month (tests/alerts/month): early, missed and doubled must be 0; the others tell how much there was
of what. Arguments: days and builds of that month, 30 and 45 when left out.
"""

import asyncio
import json
import sys
import tempfile
import time
import urllib.request
from pathlib import Path
from statistics import median, quantiles

ROOT = Path(__file__).parents[2]
sys.path[:1] = [str(ROOT / "tests"), str(ROOT / "backend")]  # not this folder: its names are packages' there

import msgspec
import structlog
from alerts.month.account import Account
from alerts.month.server import Server as Workshop
from alerts.month.world import live
from alerts.sample import GLUE, SHEET, operation
from benchbell.alerts.alarm_loop import LONGEST_SLEEP_S
from benchbell.bench.happenings import Clamped, Started
from benchbell.durations import HOUR_MS
from browser.conftest import PHONE, QUIET, Server
from playwright.sync_api import Page, sync_playwright
from scene import encoded

RINGS = 60
APART_MS = 1730
"""So that rings fall on every part of the second."""

BUILD = "01980000-0000-7000-8000-0000000000aa"
DEVICE = "d" * 16
WATCH = """hear => {
  window.shown = [];
  let last = null;
  const look = () => {
    const card = document.querySelector("dialog.ring-card[open]");
    const title = card ? card.querySelector(".over").textContent : null;
    if (title === last) return;
    window.shown.push([Date.now(), title]);
    last = title;
    if (card && hear) setTimeout(() => {
      window.shown.push([Date.now(), "heard " + title]);
      [...card.querySelectorAll("button")].find(b => b.textContent.includes("Heard")).click();
    }, 300);
  };
  new MutationObserver(look).observe(document.documentElement, { subtree: true, childList: true, attributes: true });
}"""


def clamped(first_due_ms: int) -> list[bytes]:
    """A build's beginning, and glue-ups clamped so that one after the other comes due, an hour after its start."""
    clocks = tuple(spec for spec in GLUE if spec.kind == "in-clamps")
    operations = tuple(operation(f"A/{n}", name(n), clocks, ()) for n in range(RINGS))
    sheet = msgspec.structs.replace(SHEET, operations=operations)
    happened = [(first_due_ms - 2 * HOUR_MS, Started("Speed", sheet, "", {}))]
    happened += [(first_due_ms + n * APART_MS - HOUR_MS, Clamped(f"A/{n}")) for n in range(RINGS)]
    return [encoded(n, ms, what, BUILD, DEVICE) for n, (ms, what) in enumerate(happened, 1)]


def name(n: int) -> str:
    """The title of an operation, as it is found on the card."""
    return f"Ring {n:03}"


def now_ms() -> int:
    return time.time_ns() // 1_000_000


def rung_in_chromium() -> tuple[list[float], list[float]]:
    """Seconds from each moment to its card, and from each tap on Heard to the other phone's silence."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = Server(Path(folder))
        server.start()
        browser = playwright.chromium.launch(args=QUIET, executable_path="/usr/bin/chromium")
        try:
            pages = [opened(browser, server) for _ in range(2)]
            first_due = now_ms() + 5000
            post(server.url, clamped(first_due))
            for page, hear in zip(pages, (True, False), strict=True):
                page.evaluate(WATCH, hear)
            pages[0].wait_for_timeout(5000 + RINGS * APART_MS + 3000)
            here, there = (page.evaluate("window.shown") for page in pages)
        finally:
            browser.close()
            server.kill()
    return lateness(here, first_due), hushed(here, there)


def opened(browser, server: Server) -> Page:  # type: ignore[no-untyped-def]
    """A phone with the page open."""
    page: Page = browser.new_context(viewport=PHONE, base_url=server.url).new_page()
    page.goto("/")
    page.get_by_role("heading", level=1).wait_for()
    return page


def post(url: str, bodies: list[bytes]) -> None:
    """As another phone sends it."""
    body = b'{"page":2,"after":0,"happenings":[' + b",".join(bodies) + b"]}"
    request = urllib.request.Request(f"{url}/sync", body, {"Device": DEVICE})
    with urllib.request.urlopen(request) as answer:
        json.load(answer)


def lateness(shown: list[tuple[int, str | None]], first_due: int) -> list[float]:
    """Seconds from each moment to its card; below zero when early. Rings that never came are left out."""
    seen: dict[str, int] = {}
    for ms, title in shown:
        seen.setdefault(title or "", ms)
    return [
        (ms - first_due - n * APART_MS) / 1000
        for n in range(RINGS)
        for title, ms in seen.items()
        if title.startswith(name(n))
    ]


def hushed(here: list[tuple[int, str | None]], there: list[tuple[int, str | None]]) -> list[float]:
    """Seconds from a tap on Heard here to the card's going there."""
    waits = []
    for ms, title in here:
        if title and title.startswith("heard "):
            card = title.removeprefix("heard ")
            came = next((n for n, (_, other) in enumerate(there) if other == card), None)
            if came is not None and came + 1 < len(there):
                waits.append((there[came + 1][0] - ms) / 1000)
    return waits


async def pushed() -> list[float]:
    """Seconds from each moment to the push service's having it: the real alarm clock, by the real clock."""
    took: dict[str, int] = {}

    class Service:
        async def push(self, _device, _topic, _keep, text):  # type: ignore[no-untyped-def]
            from benchbell.alerts.push_queue import PushResult

            took.setdefault(json.loads(text)["operation"], now_ms())
            return PushResult("accepted")

    class Subscriber:
        device = "e" * 16

    with tempfile.TemporaryDirectory() as folder:
        workshop = Workshop(Path(folder), Service(), now_ms)
        await workshop.start()
        await workshop.subscribe(Subscriber)
        first_due = now_ms() + 2000
        await workshop.records.take(DEVICE, clamped(first_due))
        workshop.alarm_loop.longest_sleep_s = LONGEST_SLEEP_S
        running = asyncio.create_task(workshop.alarm_loop.run())
        await asyncio.sleep(2 + RINGS * APART_MS / 1000 + 2)
        running.cancel()
        await asyncio.wait([running])
        await workshop.stop()
    return [(took[f"A/{n}"] - first_due - n * APART_MS) / 1000 for n in range(RINGS) if f"A/{n}" in took]


def p99(values: list[float]) -> float:
    return quantiles(values, n=100, method="inclusive")[98]


def main(days: int = 30, builds: int = 45) -> None:
    structlog.configure(wrapper_class=structlog.make_filtering_bound_logger(50))
    late, silent = rung_in_chromium()
    print(f"ring_late_p50_s: {median(late):.3f}")
    print(f"ring_late_p99_s: {p99(late):.3f}")
    print(f"ring_early: {sum(seconds < 0 for seconds in late)}")
    print(f"ring_missed: {RINGS - len(late)}")
    print(f"silent_elsewhere_p99_s: {p99(silent):.3f}", flush=True)
    sent = asyncio.run(pushed())
    print(f"push_late_p99_s: {p99(sent):.3f}")
    print(f"push_missed: {RINGS - len(sent)}", flush=True)
    with tempfile.TemporaryDirectory() as folder:
        print(*Account(live(Path(folder), 7, days, builds)).lines(), sep="\n")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
