"""The page's own label reader, run in node."""

import base64
import json
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy
from twins import NODE

SCRIPT = Path(__file__).parents[1] / "pwa" / "squares.ts"


class PageReader:
    """A process that looks at pictures."""

    def __init__(self, process: subprocess.Popen) -> None:
        self.process = process

    def look(self, pixels: numpy.ndarray, lifted: bool) -> list[dict]:
        """What it sees in grey pixels: text and corners of each square. lifted: the second look, for dirt."""
        height, width = pixels.shape
        grey = base64.b64encode(pixels.tobytes()).decode()
        question = {"width": width, "height": height, "grey": grey, "lifted": lifted}
        self.process.stdin.write(json.dumps(question).encode() + b"\n")
        self.process.stdin.flush()
        line = self.process.stdout.readline()
        assert line, "the page's reader ended: see its words above"
        return json.loads(line)

    def texts(self, pixels: numpy.ndarray) -> list[str]:
        """What the page sees while the label lies still: the second look when the first saw nothing."""
        seen = self.look(pixels, lifted=False) or self.look(pixels, lifted=True)
        return [square["text"] for square in seen]


@contextmanager
def page_reader() -> Iterator[PageReader]:
    """The reader, for as long as it is needed."""
    process = subprocess.Popen([NODE, "--no-warnings", SCRIPT], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    try:
        yield PageReader(process)
    finally:
        process.kill()
        process.wait()
