"""Films for the browser's fake camera: printed labels on a board, one view after the other, over and over."""

from collections.abc import Sequence
from pathlib import Path

import numpy
import pypdfium2
from PIL import Image

FRAME = (640, 480)
FRAMES_A_SECOND = 10


class View:
    """What the camera sees for some time: labels (pages of their PDFs) beside each other, or a bare board."""

    def __init__(self, seconds: float, *labels: bytes) -> None:
        self.seconds = seconds
        self.labels = labels

    def picture(self) -> Image.Image:
        """The frame, in grey."""
        frame = Image.new("L", FRAME, 110)
        width = 440 if len(self.labels) < 2 else (FRAME[0] - 30) // len(self.labels)
        for number, pdf in enumerate(self.labels):
            page = pypdfium2.PdfDocument(pdf)[0]
            label = page.render(scale=4 * width / page.get_width()).to_pil().convert("L")
            label = label.resize((width, round(width * label.height / label.width)), Image.Resampling.BOX)
            left = 10 + number * (width + 10) if len(self.labels) > 1 else (FRAME[0] - width) // 2
            frame.paste(label, (left, (FRAME[1] - label.height) // 2))
        return frame


def film(file: Path, views: Sequence[View]) -> list[str]:
    """Write the film as YUV4MPEG2; gives the browser's switches that make it the camera's picture."""
    width, height = FRAME
    grey = numpy.full(width * height // 2, 128, dtype=numpy.uint8).tobytes()
    with file.open("wb") as out:
        out.write(f"YUV4MPEG2 W{width} H{height} F{FRAMES_A_SECOND}:1 Ip A1:1 C420jpeg\n".encode())
        for view in views:
            frame = b"FRAME\n" + numpy.asarray(view.picture()).tobytes() + grey
            for _ in range(round(view.seconds * FRAMES_A_SECOND)):
                out.write(frame)
    return ["--use-fake-device-for-media-stream", f"--use-file-for-fake-video-capture={file.resolve()}"]
