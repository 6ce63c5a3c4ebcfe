"""`benchbell serve` as on a workshop's network: https by name, the welcome page, a square on a terminal."""

import os
import pty
import re
import socket
import subprocess
import sys
import threading
import urllib.request
from pathlib import Path

import zxingcpp
from browser.conftest import RECIPES, until
from PIL import Image
from ports import free_port

DRAWN = {"\N{NO-BREAK SPACE}": (0, 0), "▀": (255, 0), "▄": (0, 255), "█": (255, 255)}
"""What a dark terminal shows for a half block: its upper and its lower half."""

DOT = 6
"""Pixels of a square's module in the picture."""


class Shop:
    """The server on ports of its own. words: what it has said on its terminal since it was last started."""

    def __init__(self, data: Path) -> None:
        self.data, self.port, self.welcome_port = data, free_port(), free_port()
        self.welcome = f"http://127.0.0.1:{self.welcome_port}"
        self.words = ""
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """On a terminal, until it has told how to pair and the welcome page answers."""
        self.words = ""
        terminal, its_side = pty.openpty()
        command = [
            *benchbell("serve", "--data", self.data, "--recipes", RECIPES),
            *("--port", str(self.port), "--welcome-port", str(self.welcome_port)),
        ]
        with (self.data / "server.log").open("ab") as log:
            self.process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=its_side, stderr=log)
        os.close(its_side)
        threading.Thread(target=self.listen, args=(terminal,), daemon=True).start()
        until(lambda: "pair" in self.words and self.answers(), "the server is up")

    def listen(self, terminal: int) -> None:
        """Take down what the server says, until it ends."""
        taken = b""
        with os.fdopen(terminal, "rb", buffering=0) as heard:
            try:
                while piece := heard.read(4096):
                    taken += piece
                    self.words = taken.decode(errors="ignore").replace("\r\n", "\n")
            except OSError:
                return  # how a terminal tells that its program has ended

    def answers(self) -> bool:
        """Whether both of its doors are open."""
        try:
            with socket.create_connection(("127.0.0.1", self.port), 1):
                return urllib.request.urlopen(self.welcome, timeout=5).status == 200
        except OSError:
            return False

    def kill(self) -> None:
        """At once, with no time to say goodbye."""
        if self.process:
            self.process.kill()
            self.process.wait()
            self.process = None

    def authority(self) -> bytes:
        """The workshop's own authority, as the welcome page hands it out."""
        return urllib.request.urlopen(f"{self.welcome}/benchbell-authority.crt", timeout=10).read()

    def scanned(self) -> str:
        """What a phone reads in the square on the terminal."""
        read = zxingcpp.read_barcode(picture_of(self.words), zxingcpp.BarcodeFormat.QRCode)
        assert read, f"there is no readable square on the terminal: {self.words}"
        return read.text

    def typed(self) -> str:
        """The code in letters under the square."""
        return re.search(r"^and type (\S+)$", self.words, re.MULTILINE).group(1)

    def tell(self, *words: str) -> str:
        """Another command on the same records; gives what it says."""
        done = subprocess.run(
            [*benchbell(*words), "--data", self.data], capture_output=True, text=True, stdin=subprocess.DEVNULL
        )
        assert done.returncode == 0, done.stderr
        return done.stdout


def benchbell(*words) -> list[str]:
    """The program of this very environment."""
    return [str(Path(sys.executable).parent / "benchbell"), *map(str, words)]


def picture_of(words: str) -> Image.Image:
    """The half blocks on the terminal as light and dark."""
    lines = [line for line in words.splitlines() if line and set(line) <= set(DRAWN)]
    width = max(map(len, lines), default=1)
    picture = Image.new("L", (width, 2 * len(lines) or 1))
    for row, line in enumerate(lines):
        for column, sign in enumerate(line):
            for half, grey in enumerate(DRAWN[sign]):
                picture.putpixel((column, 2 * row + half), grey)
    return picture.resize((picture.width * DOT, picture.height * DOT), Image.Resampling.NEAREST)
