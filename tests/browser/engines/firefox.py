"""Firefox by WebDriver BiDi (W3C), which it speaks by itself: Debian has no driver program for it."""

import json
import os
import signal
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from browser.conftest import PATIENCE, PHONE, until
from websocket import WebSocket, create_connection

CALM = 'user_pref("ui.prefersReducedMotion", 1);\n'
PRIVATE = 'user_pref("browser.privatebrowsing.autostart", true);\n'


class Firefox:
    """One tab of it."""

    def __init__(self, wire: WebSocket) -> None:
        self.wire, self.asked = wire, 0
        self.tell("session.new", capabilities={})
        self.context = self.tell("browsingContext.create", type="tab")["context"]
        self.tell("browsingContext.setViewport", context=self.context, viewport=PHONE)

    def tell(self, method: str, **params: Any) -> dict[str, Any]:
        """One command; gives its result. Events that come in between are let go."""
        self.asked += 1
        self.wire.send(json.dumps({"id": self.asked, "method": method, "params": params}))
        while (answer := json.loads(self.wire.recv())).get("id") != self.asked:
            pass
        assert answer["type"] == "success", answer
        return answer["result"]

    def open(self, address: str) -> None:
        self.tell("browsingContext.navigate", context=self.context, url=address, wait="complete")

    def reload(self) -> None:
        self.tell("browsingContext.reload", context=self.context, wait="complete")

    def value(self, expression: str) -> Any:
        said = self.tell(
            "script.evaluate",
            expression=f"JSON.stringify({expression})",
            target={"context": self.context},
            awaitPromise=False,
        )
        assert said["type"] == "success", said
        return json.loads(said["result"].get("value", "null"))

    def press(self, x: int, y: int) -> None:
        moves = [
            {"type": "pointerMove", "x": x, "y": y},
            {"type": "pointerDown", "button": 0},
            {"type": "pointerUp", "button": 0},
        ]
        finger = {"type": "pointer", "id": "finger", "parameters": {"pointerType": "touch"}, "actions": moves}
        self.tell("input.performActions", context=self.context, actions=[finger])


@contextmanager
def firefox(folder: Path, choices: str = "") -> Iterator[Firefox]:
    """A running one with a new profile, of which nothing is left afterwards. choices: further lines of `user.js`."""
    profile = folder / "profile"
    profile.mkdir()
    (profile / "user.js").write_text(CALM + choices)
    listens = profile / "WebDriverBiDiServer.json"
    command = ["firefox-esr", "--headless", "--no-remote", "--profile", profile, "--remote-debugging-port", "0"]
    with (folder / "firefox.log").open("wb") as log:
        process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=log,
            stderr=log,
            env={**os.environ, "HOME": str(folder)},
            start_new_session=True,
        )
    try:
        until(lambda: listens.exists() and listens.read_text(), f"Firefox listens; its words are in {folder}")
        door = json.loads(listens.read_text())
        address = f"ws://{door['ws_host']}:{door['ws_port']}/session"
        wire = create_connection(address, timeout=PATIENCE, suppress_origin=True)
        yield Firefox(wire)
        wire.close()
    finally:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()
