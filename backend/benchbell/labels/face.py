"""A label's face: the shapes of its square and its words. Positions and sizes in mm from the label's top left corner.

+---------------------------+
| ▛▀▜   [A] ↑ outside face  |     The letter of the piece is white on black for a part, black in a
| ▌▞▐   Leg 2               |     double frame for an assembly; other labels have a band instead.
| ▙▄▟   front left          |     The arrow points at what the words beside it name.
| 7H3K-9QXM  A meets seat   |
+---------------------------+
"""

from collections.abc import Iterator

from msgspec import Struct

from benchbell.labels.fitting import LEADING, LEAST_MM, Block, Line, fit
from benchbell.labels.label import Label, LabelKind
from benchbell.labels.lettering import Lettering, Style
from benchbell.labels.paper import Box
from benchbell.labels.qr import QUIET, Square, blocks
from benchbell.recipe.label_code import show_code

SQUARE_SHARE = 0.45
"""Share of the label's longer side that the square takes; the words need more."""

CODE_SHARE = 0.17
"""Height of the code line as a share of the square's: nine letters are then as wide as the symbol."""

ASCENT = 0.95
"""From a line's top to its baseline in letter heights, with room for an accented capital."""

CAPITAL = 0.72
"""Height of a capital, in letter heights."""

LARGEST_MM = 5.0
"""Letters readable at arm's length that leave room for the mates (common practice, no source)."""

LEAST_SQUARE_MM = 12.0
"""A code alone at the highest error correction takes 29 modules with its quiet zone, which are then 0.41 mm each."""

BANDS: dict[LabelKind, str] = {"fixture": "FIXTURE", "station": "STATION", "setup": "SETUP", "rack": "CLAMP RACK"}

GAP = 1.0


class Words(Struct, frozen=True):
    """One line of words. x, y: left end of the baseline; size: letter height; width: of the line."""

    text: str
    x: float
    y: float
    size: float
    width: float
    style: Style
    white: bool = False


class Bar(Struct, frozen=True):
    """A filled rectangle."""

    box: Box
    white: bool = False


class Arrow(Struct, frozen=True):
    """An arrow that points up and fills its box."""

    box: Box


class Symbol(Struct, frozen=True):
    """A QR symbol; its quiet zone is inside the box."""

    box: Box
    square: Square


Shape = Words | Bar | Arrow | Symbol


def arrow_corners(arrow: Arrow) -> list[tuple[float, float]]:
    """Corners of an arrow's outline: the head is as wide as the box, the stem a third of that."""
    box = arrow.box
    middle, neck, foot = box.x + box.width / 2, box.y + 0.45 * box.height, box.y + box.height
    stem = box.width / 6
    head = [(middle, box.y), (box.x + box.width, neck), (middle + stem, neck)]
    return [*head, (middle + stem, foot), (middle - stem, foot), (middle - stem, neck), (box.x, neck)]


def dark_boxes(symbol: Symbol) -> Iterator[Box]:
    """A symbol's dark modules as rectangles."""
    module = symbol.square.module_mm(symbol.box.width)
    left, top = symbol.box.x + QUIET * module, symbol.box.y + QUIET * module
    for row, column, rows, columns in blocks(symbol.square):
        yield Box(left + column * module, top + row * module, columns * module, rows * module)


class Face(Struct, frozen=True):
    """All shapes of one label in drawing order. whole: whether every word fits."""

    shapes: tuple[Shape, ...]
    whole: bool


def square_box(width: float, height: float, coded: bool) -> Box:
    """The box of the square: at the left, or at the top of a label that is taller than wide.

    coded: whether a code is written below it. The quiet zone reaches the label's edge.
    """
    below = 1 + CODE_SHARE if coded else 1.0
    if width < height:
        side = min(width, SQUARE_SHARE * height / below)
        return Box((width - side) / 2, 0.0, side, side)
    side = min((height - margin(width, height) * coded) / below, max(SQUARE_SHARE * width, LEAST_SQUARE_MM))
    return Box(0.0, (height - side * below) / 2, side, side)


def words_box(width: float, height: float, square: Box, coded: bool) -> Box:
    """The box for words beside or below the square and its code."""
    edge = margin(width, height)
    if width < height:
        top = square.height * (1 + CODE_SHARE * coded) + edge / 2
        return Box(edge, top, width - 2 * edge, height - top - edge)
    return Box(square.width, edge, width - square.width - edge, height - 2 * edge)


def margin(width: float, height: float) -> float:
    """Width of the white edge, since a label may be cut slightly beside its line."""
    return min(2.5, 0.06 * min(width, height))


def face_of(label: Label, width: float, height: float, square: Square, lettering: Lettering) -> Face:
    """The face of a label of that width and height."""
    at = square_box(width, height, bool(label.code))
    words = words_box(width, height, at, bool(label.code))
    head, below, head_whole = head_of(label, words, lettering)
    text, text_whole = text_of(label, below, lettering)
    return Face((Symbol(at, square), *code_line(label, at, lettering), *head, *text), head_whole and text_whole)


def code_line(label: Label, square: Box, lettering: Lettering) -> tuple[Shape, ...]:
    """The code in characters, as wide as the symbol above it; nothing for a label without a code."""
    if not label.code:
        return ()
    shown = show_code(label.code)
    room = CODE_SHARE * square.height
    size = min(0.8 * square.width / lettering.width(shown, "mono"), room)
    width = lettering.width(shown, "mono") * size
    middle = square.y + square.height + room / 2 - 0.02 * square.height
    return (Words(shown, square.x + (square.width - width) / 2, middle + CAPITAL * size / 2, size, width, "mono"),)


def head_of(label: Label, box: Box, lettering: Lettering) -> tuple[tuple[Shape, ...], Box, bool]:
    """The shapes above the text: band, badge, arrow with its words; the box below them; whether every word fits."""
    band, box = band_of(label, box, lettering)
    if not (label.piece or label.mark):
        return band, box, True
    side = min(0.3 * box.height, 0.3 * box.width, 14.0)
    badge = badge_of(label, Box(box.x, box.y, side, side), lettering) if label.piece else ()
    left = box.x + (side + GAP if label.piece else 0.0)
    mark, whole = mark_of(label, Box(left, box.y, box.x + box.width - left, side), lettering)
    below = Box(box.x, box.y + side + GAP, box.width, box.height - side - GAP)
    return (*band, *badge, *mark), below, whole


def band_of(label: Label, box: Box, lettering: Lettering) -> tuple[tuple[Shape, ...], Box]:
    """A black band with the kind of a label that is not of a part or assembly, and the box below it."""
    if label.kind not in BANDS:
        return (), box
    name = BANDS[label.kind]
    run = lettering.width(name, "bold")
    size = min(max(LEAST_MM, min(0.1 * box.height, 4.0)), box.width / (run + 1))
    band = Box(box.x, box.y, box.width, size * 1.4)
    words = Words(
        name, band.x + size / 2, band.y + (band.height + CAPITAL * size) / 2, size, run * size, "bold", white=True
    )
    used = band.height + GAP
    return (Bar(band), words), Box(box.x, box.y + used, box.width, box.height - used)


def badge_of(label: Label, box: Box, lettering: Lettering) -> tuple[Shape, ...]:
    """The letter of the piece, as large as the box allows."""
    letter = lettering.writable(label.piece)
    line = 0.06 * box.width
    double = label.kind == "assembly"
    frame = tuple(Bar(inset(box, n * line), white=n % 2 == 1) for n in range(4 if double else 1))
    room = inset(box, 4.2 * line if double else 2 * line)
    size = min(room.height / CAPITAL, room.width / lettering.width(letter, "bold"))
    run = lettering.width(letter, "bold") * size
    x, y = box.x + (box.width - run) / 2, box.y + (box.height + CAPITAL * size) / 2
    return (*frame, Words(letter, x, y, size, run, "bold", white=not double))


def inset(box: Box, by: float) -> Box:
    """The box made smaller on all sides."""
    return Box(box.x + by, box.y + by, box.width - 2 * by, box.height - 2 * by)


def mark_of(label: Label, box: Box, lettering: Lettering) -> tuple[tuple[Shape, ...], bool]:
    """The arrow and the words for what it points at; whether every word fits."""
    if not label.mark:
        return (), True
    arrow = Box(box.x, box.y, 0.5 * box.height, box.height)
    words = Box(arrow.x + arrow.width + GAP, box.y, box.width - arrow.width - GAP, box.height)
    block = Block(lettering.writable(label.mark), 1.0, "plain")
    fitted = fit([block], words.width, words.height, LARGEST_MM, lettering)
    return (Arrow(arrow), *set_in(fitted.lines, words, lettering)), fitted.whole


def text_of(label: Label, box: Box, lettering: Lettering) -> tuple[tuple[Shape, ...], bool]:
    """Title, place and mates; whether every word fits."""
    blocks = [Block(label.title, 1.5, "bold"), Block(label.place, 1.1, "plain")]
    blocks += [Block(mate, 1.0, "plain") for mate in label.mates]
    blocks = [Block(lettering.writable(b.text), b.weight, b.style) for b in blocks if b.text.split()]
    fitted = fit(blocks, box.width, box.height, LARGEST_MM, lettering)
    return set_in(fitted.lines, box, lettering), fitted.whole


def set_in(lines: tuple[Line, ...], box: Box, lettering: Lettering) -> tuple[Words, ...]:
    """Lines below each other from the top of a box."""
    words, top = [], box.y
    for line in lines:
        width = lettering.width(line.text, line.style) * line.size
        words.append(Words(line.text, box.x, top + ASCENT * line.size, line.size, width, line.style))
        top += LEADING * line.size
    return tuple(words)
