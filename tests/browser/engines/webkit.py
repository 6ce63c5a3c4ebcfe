"""WebKitGTK by WebDriver (W3C), on a screen of its own that nobody sees."""

import os
import signal
import subprocess
import urllib.request
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

from browser.conftest import PATIENCE, PHONE, until
from ports import free_port
from selenium.webdriver import Remote
from selenium.webdriver.common.actions.action_builder import ActionBuilder
from selenium.webdriver.remote.client_config import ClientConfig
from selenium.webdriver.remote.remote_connection import RemoteConnection
from selenium.webdriver.webkitgtk.options import Options

SCREEN = f"{PHONE['width'] + 100}x{PHONE['height'] + 100}x24"


class WebKit:
    """One tab of it."""

    def __init__(self, driver: Remote) -> None:
        self.driver = driver
        driver.set_window_size(PHONE["width"], PHONE["height"])

    def open(self, address: str) -> None:
        self.driver.get(address)

    def reload(self) -> None:
        self.driver.refresh()

    def value(self, expression: str) -> Any:
        return self.driver.execute_script(f"return {expression}")

    def press(self, x: int, y: int) -> None:
        hand = ActionBuilder(self.driver)
        hand.pointer_action.move_to_location(x, y).click()
        hand.perform()


@contextmanager
def webkit(folder: Path) -> Iterator[WebKit]:
    """A running one with nothing stored, of which nothing is left afterwards."""
    with ExitStack() as ends, (folder / "webkit.log").open("wb") as log:

        def begin(*command: str, **more: Any) -> None:
            process = subprocess.Popen(
                command, stdin=subprocess.DEVNULL, stdout=log, stderr=log, start_new_session=True, **more
            )
            ends.callback(end, process)

        display = screen(begin)
        port = free_port()
        home = {"DISPLAY": f":{display}", "HOME": str(folder), "XDG_RUNTIME_DIR": str(folder)}
        begin("WebKitWebDriver", f"--port={port}", env={**os.environ, **home})
        address = f"http://127.0.0.1:{port}"
        until(lambda: ready(address), f"WebKit's driver answers; its words are in {folder}")
        driver = Remote(RemoteConnection(client_config=ClientConfig(address, timeout=PATIENCE)), options=Options())
        ends.callback(driver.quit)
        yield WebKit(driver)


def screen(begin: Any) -> int:
    """A screen with a number that no other has."""
    our_side, its_side = os.pipe()
    begin("Xvfb", "-displayfd", str(its_side), "-screen", "0", SCREEN, "-nolisten", "tcp", pass_fds=(its_side,))
    os.close(its_side)
    with os.fdopen(our_side) as number:
        return int(number.readline())


def ready(address: str) -> bool:
    """Whether the driver is up."""
    try:
        return bool(urllib.request.urlopen(f"{address}/status", timeout=5).status == 200)
    except OSError:
        return False


def end(process: subprocess.Popen[bytes]) -> None:
    """Itself and all that it started."""
    os.killpg(process.pid, signal.SIGKILL)
    process.wait()
