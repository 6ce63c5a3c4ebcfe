"""What a maker's thumb does on the page, in the words of the page."""

import json
import re
import secrets
import time
import urllib.request

from playwright.sync_api import Locator, Page, expect

OTHER_PHONE = "00000000000000b2"
CLOCKMAKER = "00000000000000c3"

IN_TURN = "work => navigator.locks.request('benchbell-notices', work)"
"""As page and worker do, so that asking which notices stand makes none of them go: see inTurn in alerts/notice.ts."""


STATUS_WORDS = """
window.said = [];
new MutationObserver(() => {
  const words = document.querySelector("[role=status]")?.textContent;
  if (words && words !== window.said.at(-1)) window.said.push(words);
}).observe(document, { subtree: true, childList: true, characterData: true });
"""
"""Makes the page list in `said` all that its status line has said since it was opened."""


def main_button(page: Page, words: str) -> Locator:
    """The one main button, when it says this."""
    return page.locator(".deeds .main").get_by_text(words, exact=True)


def tap(page: Page, words: str) -> None:
    """The main button."""
    main_button(page, words).click()


def start_build(page: Page, recipe: str = "Step stool", pieces: int = 1, name: str = "") -> str:
    """From the bench to the open build; gives the build's id."""
    page.get_by_role("link", name="Builds").click()
    tap(page, "Start a build")
    page.get_by_role("radio", name=recipe).check()
    for _ in range(pieces - 1):
        page.get_by_role("button", name="more").click()
    page.get_by_label("Name").fill(name)
    page.get_by_role("button", name="Start", exact=True).click()
    page.wait_for_url("**/b/*")
    expect(page.get_by_role("heading", name="Left to do")).to_be_visible()
    return page.url.rsplit("/", 1)[1]


def row(page: Page, title: str) -> Locator:
    """An operation in the build's list; other rows may say that they wait for it."""
    return page.get_by_role("link", name=re.compile(rf"^(Piece \w )?{re.escape(title)} ")).first


def open_operation(page: Page, title: str) -> None:
    """From wherever, through the list of builds."""
    page.get_by_role("link", name="Builds").click()
    page.locator(".build-card").first.click()
    row(page, title).click()
    expect(page.get_by_role("heading", level=1, name=title)).to_be_visible()


def tick(page: Page, *parts: str) -> None:
    """Tick parts off on the operation's screen."""
    for part in parts:
        page.locator(".tick", has_text=part).click()
        expect(page.locator(".tick[aria-pressed=true]", has_text=part)).to_be_visible()


def do_all(page: Page, title: str, *parts: str, good: int = 0) -> None:
    """An operation from begin to finish, with all its parts ticked and its checks good."""
    open_operation(page, title)
    tap(page, "Begin")
    tick(page, *parts)
    for n in range(good):
        page.locator(".check").nth(n).get_by_role("button", name="Good", exact=True).click()
    tap(page, "Finish")
    expect(page.get_by_text("This is done.")).to_be_visible()


def expect_synced(page: Page) -> None:
    """The sync line says that nothing waits."""
    expect(page.get_by_role("status").first).to_contain_text("All is with the server", timeout=20_000)


def glue_next(server) -> str:
    """A step stool at the server on which everything before the glue-up is done; gives the build's id."""
    at = time.time_ns() // 1_000_000
    build = uuid7(at)
    post(server, "/builds", {"id": build, "recipe": "step-stool", "pieces": 1, "name": "Stool"})
    done = [
        {
            "id": uuid7(at + n),
            "n": n,
            "at": {"ms": at + n, "counter": 0, "device": OTHER_PHONE},
            "build": build,
            "about": [operation],
            "what": {"kind": "finished", "operation": operation, "reason": ""},
        }
        for n, operation in enumerate(("A/cut-sides", "A/cut-rail", "A/dry-fit"), start=1)
    ]
    post(server, "/sync", {"page": 2, "after": 0, "log_epoch": "", "happenings": done})
    return build


def uuid7(ms: int) -> str:
    """RFC 9562, section 5.7."""
    chance = secrets.token_hex(9)
    return f"{ms >> 16:08x}-{ms & 0xFFFF:04x}-7{chance[:3]}-a{chance[3:6]}-{chance[6:18]}"


def closing_in(server, minutes: int) -> str:
    """The shop closes in so many minutes, being in a zone where it is noon now; gives that zone, for phones in it."""
    utc = time.gmtime()
    behind = (utc.tm_hour - 12 + 11) % 24 - 11
    closes = 12 * 60 + utc.tm_min + minutes
    kept = {"hours": f"08:00-{closes // 60:02}:{closes % 60:02}", "zone": f"Etc/GMT{behind:+d}"}
    at = time.time_ns() // 1_000_000
    happenings = [
        {
            "id": uuid7(at + n),
            "n": n,
            "at": {"ms": at + n, "counter": 0, "device": CLOCKMAKER},
            "build": "",
            "about": [],
            "what": {"kind": "kept", "setting": setting, "value": value},
        }
        for n, (setting, value) in enumerate(kept.items(), start=1)
    ]
    post(server, "/sync", {"page": 2, "after": 0, "log_epoch": "", "happenings": happenings}, CLOCKMAKER)
    return kept["zone"]


def jobs(page: Page) -> list[str]:
    """What is drawn, as a screen reader says it."""
    return [" ".join((job.text_content() or "").split()) for job in page.locator(".job").all()]


def title(job: str) -> str:
    """The title of what is drawn, as `jobs` has it."""
    found = re.search(r"to [0-9:]+: ?([^.]+)\.", job)
    assert found, job
    return found[1]


def post(server, path: str, sent: dict, device: str = OTHER_PHONE, method: str = "POST") -> dict:
    """As a phone asks the server."""
    headers = {"Device": device, "Content-Type": "application/json"}
    request = urllib.request.Request(f"{server.url}{path}", json.dumps(sent).encode(), headers, method=method)
    with urllib.request.urlopen(request) as answer:
        return json.load(answer)


def log_of(server, build: str) -> dict:
    """The build's log as the server tells it."""
    with urllib.request.urlopen(f"{server.url}/builds/{build}/log.json") as answer:
        return json.load(answer)
