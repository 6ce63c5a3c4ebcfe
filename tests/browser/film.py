"""Films for the browser's fake camera: printed labels on a board, one view after the other, over and over."""

from collections.abc import Sequence
from pathlib import Path

import numpy
import pypdfium2
from benchbell.labels.qr import best_square
from PIL import Image, ImageOps

FRAME = (640, 480)
BOARD = 110
FRAMES_A_SECOND = 20


class View:
    """What the camera sees for some time: labels beside each other, or a bare board."""

    def __init__(self, seconds: float, *labels: Image.Image) -> None:
        self.seconds = seconds
        self.labels = labels

    def picture(self) -> Image.Image:
        """The frame, in grey."""
        frame = Image.new("L", FRAME, BOARD)
        several = len(self.labels) > 1
        for number, label in enumerate(self.labels):
            width = (FRAME[0] - 30) // len(self.labels) if several else 440
            size = (width, min(round(width * label.height / label.width), FRAME[1]))
            left = 10 + number * (width + 10) if several else (FRAME[0] - width) // 2
            frame.paste(label.resize(size, Image.Resampling.BOX), (left, (FRAME[1] - size[1]) // 2))
        return frame


def printed_label(pdf: bytes) -> Image.Image:
    """The first label of a file of one label a page."""
    return pypdfium2.PdfDocument(pdf)[0].render(scale=8).to_pil().convert("L")


def bare_square(text: str) -> Image.Image:
    """A square with nothing beside it, as anybody prints one."""
    rows = numpy.pad(numpy.array(best_square([text], 30).rows), 4)
    return Image.fromarray(numpy.kron(numpy.where(rows, 0, 255), numpy.ones((12, 12))).astype(numpy.uint8))


def film(file: Path, views: Sequence[View], frame: tuple[int, int] = FRAME) -> list[str]:
    """Write the film as YUV4MPEG2; gives the browser's switches that make it the camera's picture."""
    grey = numpy.full(frame[0] * frame[1] // 2, 128, dtype=numpy.uint8).tobytes()
    with file.open("wb") as out:
        out.write(f"YUV4MPEG2 W{frame[0]} H{frame[1]} F{FRAMES_A_SECOND}:1 Ip A1:1 C420jpeg\n".encode())
        for view in views:
            picture = ImageOps.pad(view.picture(), frame, Image.Resampling.BICUBIC, color=BOARD)
            one = b"FRAME\n" + numpy.asarray(picture).tobytes() + grey
            for _ in range(round(view.seconds * FRAMES_A_SECOND)):
                out.write(one)
    return ["--use-fake-device-for-media-stream", f"--use-file-for-fake-video-capture={file.resolve()}"]
