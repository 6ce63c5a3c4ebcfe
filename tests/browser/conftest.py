"""A real server and a real browser of a phone's size. The server can be killed, as a power cut would."""

import os
import shutil
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import build_page
import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright
from ports import free_port

RECIPES = Path(__file__).parent
PHONE = {"width": 390, "height": 844}
QUIET = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-sync"]
"""Debian's Chromium in a container, asking nobody outside for anything."""

PATIENCE = 60
"""Seconds until a wait has failed: for a machine that is busy with much else."""

expect.set_options(timeout=PATIENCE * 1000)

NO_BROWSER = "No Chromium here. Install it: apt-get install chromium (as root), then run the tests again."


def pytest_collection_modifyitems(items):
    """Try a failing browser test once more: an engine on a busy machine now and then dies or does not answer.

    Nothing else is tried twice. A test that the summary names with RERUN again and again hides a race: find it.
    """
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.flaky(reruns=1))


@pytest.fixture(scope="session")
def chromium() -> str:
    """Where Debian's browser is; installs it where there is none and this may. No browser, no pass."""
    found = shutil.which("chromium")
    if not found and os.geteuid() == 0:
        for order in (["update"], ["install", "-y", "--no-install-recommends", "chromium"]):
            subprocess.run(["apt-get", "-q", *order], check=False, stdin=subprocess.DEVNULL)
        found = shutil.which("chromium")
    assert found, NO_BROWSER
    return found


@pytest.fixture(scope="session")
def page_folder() -> None:
    """The page as the sources have it now, and the tools that look at it."""
    build_page.install(for_tests=True)
    built = build_page.BACKEND / "benchbell" / "page" / "index.html"
    sources = [file for file in build_page.PWA.rglob("*") if file.is_file() and "node_modules" not in file.parts]
    if not built.exists() or built.stat().st_mtime < max(file.stat().st_mtime for file in sources):
        build_page.write_types()
        build_page.npm("run", "build", "--", "--logLevel", "warn")


class Server:
    """`benchbell serve --local` as a program of its own."""

    def __init__(self, data: Path) -> None:
        self.port = free_port()
        self.url = f"http://localhost:{self.port}"
        self.data = data
        self.process: subprocess.Popen[bytes] | None = None

    def begin(self) -> None:
        """Set it going, without waiting for it."""
        command = [
            Path(sys.executable).parent / "benchbell", "serve", "--local", "--data", self.data,
            "--port", str(self.port), "--recipes", RECIPES,
        ]  # fmt: skip
        with (self.data / "server.log").open("ab") as log:
            self.process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=log, stderr=log)

    def wait(self) -> None:
        """Until it answers."""
        until(self.answers, f"the server answers; its words are in {self.data / 'server.log'}")

    def start(self) -> None:
        """Set it going and wait for it."""
        self.begin()
        self.wait()

    def answers(self) -> bool:
        """Whether it serves the page; its words when it has ended by itself."""
        assert self.process is None or self.process.poll() is None, (self.data / "server.log").read_text()
        try:
            with urllib.request.urlopen(f"{self.url}/", timeout=PATIENCE) as answer:
                return bool(answer.status == 200)
        except OSError:
            return False

    def kill(self) -> None:
        """At once, with no time to say goodbye."""
        if self.process:
            self.process.kill()
            self.process.wait()
            self.process = None


def until(true, what: str, seconds: float = PATIENCE) -> None:
    """Wait for something to become true; the test fails with `what` was waited for when it does not."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, f"waited {seconds} s in vain until {what}"
        time.sleep(0.05)


@pytest.fixture(scope="session")
def spare(page_folder, tmp_path_factory):
    """A list of one server for the next test: it starts while the one before is still at work."""
    waiting: list[Server] = []
    yield waiting
    for server in waiting:
        server.kill()


@pytest.fixture
def server(spare, tmp_path_factory):
    """A running server with empty records."""
    server = spare.pop() if spare else begun(tmp_path_factory)
    spare.append(begun(tmp_path_factory))
    server.wait()
    yield server
    server.kill()


def begun(tmp_path_factory) -> Server:
    """A server that is on its way up."""
    server = Server(tmp_path_factory.mktemp("server"))
    server.begin()
    return server


@pytest.fixture(scope="module")
def launched(chromium):
    """Gives one browser for a file of tests, and another should that one have died."""
    with sync_playwright() as playwright:
        browsers: list[Browser] = []

        def running() -> Browser:
            if not (browsers and browsers[-1].is_connected()):
                browsers.append(playwright.chromium.launch(executable_path=chromium, args=QUIET))
            return browsers[-1]

        yield running
        for browser in browsers:
            browser.close()


@pytest.fixture
def browser(launched) -> Browser:
    """The browser; each phone is a context of its own in it."""
    return launched()


@pytest.fixture
def new_phone(browser, server):
    """Makes phones, each with storage of its own, and watches that none asks anybody but the server."""
    contexts: list[BrowserContext] = []
    strangers: list[str] = []

    def make(**choices) -> Page:
        context = browser.new_context(
            viewport=choices.pop("viewport", PHONE),
            has_touch=True,
            reduced_motion="reduce",
            base_url=server.url,
            **choices,
        )
        context.grant_permissions(["notifications"], origin=server.url)
        context.on("request", lambda request: watch(request.url))
        context.set_default_timeout(PATIENCE * 1000)
        contexts.append(context)
        return context.new_page()

    def watch(url: str) -> None:
        if not url.startswith((server.url, "data:", "blob:")):
            strangers.append(url)

    yield make
    if browser.is_connected():
        for context in contexts:
            context.close()

    assert strangers == []


@pytest.fixture
def phone(new_phone) -> Page:
    """One phone, the page open and its service worker in charge."""
    page = new_phone()
    open_page(page)
    return page


def open_page(page: Page, path: str = "/") -> None:
    """Open the page and wait until it would also open without a network."""
    page.goto(path)
    page.get_by_role("heading", level=1).wait_for()
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.wait_for_function("navigator.serviceWorker.controller !== null")
