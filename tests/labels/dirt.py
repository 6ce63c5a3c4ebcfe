"""Labels as a phone sees them in a workshop: turned, aslant, out of focus, noisy, dirty, dim, with a glare.

Every picture is a printed label of our own on a made-up board, 640 × 480 grey pixels, the label about two thirds
of the frame wide; all chance comes from the seed.
"""

from collections.abc import Callable, Iterator
from functools import cache
from typing import NamedTuple

import numpy
import pypdfium2
from benchbell.labels.label import Label, address
from benchbell.labels.lettering import built_in
from benchbell.labels.paper import roll
from benchbell.labels.pdf import labels_pdf
from benchbell.labels.printing import label_faces
from benchbell.recipe.label_code import new_code
from labels.sample import HOST
from PIL import Image, ImageFilter

FRAME = (640, 480)
LABEL_MM = (64.0, 38.0)


class Picture(NamedTuple):
    """One picture, what was done to it, and what the square on it holds."""

    case: str
    text: str
    pixels: numpy.ndarray


class View(NamedTuple):
    """How the label stands before the camera: turned (degrees), and how much the far side shrinks (0 to 1)."""

    turned: float = 0.0
    aslant: float = 0.0


@cache
def label_image(number: int) -> tuple[str, Image.Image]:
    """A printed label, and what its square holds."""
    code = new_code(2654435761 * 11 * (number + 1) % 2**35)
    label = Label("part", f"leg-{number}", code, f"Leg {number}", "A", "front left", "outside", ("A meets Stretcher",))
    layout = roll(*LABEL_MM)
    pdf = labels_pdf("label", label_faces([label], layout, HOST, built_in()).faces, layout, built_in())
    page = pypdfium2.PdfDocument(pdf)[0]
    return address(label, HOST), page.render(scale=300 / 72).to_pil().convert("L")


def corners(view: View) -> list[tuple[float, float]]:
    """Where the label's corners stand in the frame, from the top left one on, with the sun."""
    wide, high = 420.0, 420.0 * LABEL_MM[1] / LABEL_MM[0]
    turn = numpy.radians(view.turned)
    placed = []
    for x, y in ((-wide, -high), (wide, -high), (wide, high), (-wide, high)):
        shrink = 1 - view.aslant * (x + wide) / (2 * wide)
        x, y = x / 2 * (1 - view.aslant / 2), y / 2 * shrink
        placed.append(
            (
                FRAME[0] / 2 + x * numpy.cos(turn) - y * numpy.sin(turn),
                FRAME[1] / 2 + x * numpy.sin(turn) + y * numpy.cos(turn),
            )
        )
    return placed


def projection(source: list[tuple[float, float]], target: list[tuple[float, float]]) -> list[float]:
    """The eight numbers with which Pillow finds, for each pixel of the target, its place in the source."""
    rows, wanted = [], []
    for (u, v), (x, y) in zip(source, target, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        wanted += [u, v]
    return list(numpy.linalg.solve(numpy.array(rows), numpy.array(wanted)))


def seen(number: int, view: View, chance: numpy.random.Generator) -> tuple[str, numpy.ndarray]:
    """The label on a board, clean and sharp: what its square holds, and grey levels 0 to 255."""
    text, label = label_image(number)
    edges = [(0, 0), (label.width, 0), (label.width, label.height), (0, label.height)]
    numbers = projection(edges, corners(view))
    laid = label.transform(FRAME, Image.Transform.PERSPECTIVE, numbers, Image.Resampling.BICUBIC)
    where = Image.new("L", label.size, 255).transform(FRAME, Image.Transform.PERSPECTIVE, numbers)
    return text, numpy.asarray(Image.composite(laid, board(chance), where)).astype(float)


def board(chance: numpy.random.Generator) -> Image.Image:
    """A planed board: soft stripes along the grain."""
    stripes = chance.normal(130, 30, (FRAME[1] // 6, FRAME[0] // 80))
    grain = Image.fromarray(stripes.clip(40, 220).astype(numpy.uint8)).resize(FRAME, Image.Resampling.BICUBIC)
    return grain.filter(ImageFilter.GaussianBlur(2))


def blurred(pixels: numpy.ndarray, sigma: float) -> numpy.ndarray:
    """Out of focus."""
    image = Image.fromarray(pixels.clip(0, 255).astype(numpy.uint8)).filter(ImageFilter.GaussianBlur(sigma))
    return numpy.asarray(image).astype(float)


def noisy(pixels: numpy.ndarray, deviation: float, chance: numpy.random.Generator) -> numpy.ndarray:
    """A poor sensor in poor light."""
    return pixels + chance.normal(0, deviation, pixels.shape)


def dim(pixels: numpy.ndarray, contrast: float) -> numpy.ndarray:
    """Only so much of the contrast left, in the dark half of the range."""
    return 60 + pixels * contrast


def patches(share: float, chance: numpy.random.Generator, grain: int) -> numpy.ndarray:
    """Where dirt lies, 0 or 1: soft-edged patches over that share of the frame. grain: their size in pixels."""
    coarse = chance.random((FRAME[1] // grain + 1, FRAME[0] // grain + 1)) * 255
    smooth = numpy.asarray(Image.fromarray(coarse.astype(numpy.uint8)).resize(FRAME, Image.Resampling.BICUBIC))
    return (smooth > numpy.quantile(smooth, 1 - share)).astype(float)


def smeared(pixels: numpy.ndarray, share: float, chance: numpy.random.Generator) -> numpy.ndarray:
    """Glue, oil and dust one can see through, half of the light gone, over that share of everything."""
    return pixels * (1 - 0.5 * patches(share, chance, 24))


def glared(pixels: numpy.ndarray, chance: numpy.random.Generator) -> numpy.ndarray:
    """A lamp mirrored in the label, near the middle of the square."""
    y, x = numpy.mgrid[: FRAME[1], : FRAME[0]]
    middle = (FRAME[0] * 0.33 + chance.normal(0, 20), FRAME[1] / 2 + chance.normal(0, 20))
    return pixels + 200 * numpy.exp(-((x - middle[0]) ** 2 + (y - middle[1]) ** 2) / (2 * 45**2))


Change = Callable[[numpy.ndarray, numpy.random.Generator], numpy.ndarray]

CASES: dict[str, tuple[View, list[Change]]] = {
    "clean": (View(), []),
    "turned 15°": (View(turned=15), []),
    "turned 30°": (View(turned=30), []),
    "turned 45°": (View(turned=45), []),
    "upside down": (View(turned=180), []),
    "aslant 0.3": (View(aslant=0.3), []),
    "aslant 0.5": (View(aslant=0.5), []),
    "blur 1.5 px": (View(), [lambda p, _: blurred(p, 1.5)]),
    "blur 2.5 px": (View(), [lambda p, _: blurred(p, 2.5)]),
    "noise 20": (View(), [lambda p, c: noisy(p, 20, c)]),
    "noise 40": (View(), [lambda p, c: noisy(p, 40, c)]),
    "dirt 20 %": (View(), [lambda p, c: smeared(p, 0.2, c)]),
    "dirt 40 %": (View(), [lambda p, c: smeared(p, 0.4, c)]),
    "contrast 30 %": (View(), [lambda p, _: dim(p, 0.3)]),
    "contrast 15 %": (View(), [lambda p, _: dim(p, 0.15)]),
    "glare": (View(), [glared]),
    "turned 30°, aslant 0.3, dirt 20 %, blur 1 px, noise 10": (
        View(turned=30, aslant=0.3),
        [lambda p, c: smeared(p, 0.2, c), lambda p, _: blurred(p, 1), lambda p, c: noisy(p, 10, c)],
    ),
    "turned 45°, contrast 40 %, dirt 20 %, blur 1.5 px": (
        View(turned=45),
        [lambda p, c: smeared(p, 0.2, c), lambda p, _: blurred(p, 1.5), lambda p, _: dim(p, 0.4)],
    ),
}


def pictures(each: int = 10, seed: int = 1) -> Iterator[Picture]:
    """So many pictures of every case, each of another label."""
    chance = numpy.random.default_rng(seed)
    for case, (view, changes) in CASES.items():
        for number in range(each):
            text, pixels = seen(number, view, chance)
            for change in changes:
                pixels = change(pixels, chance)
            yield Picture(case, text, pixels.clip(0, 255).astype(numpy.uint8))
