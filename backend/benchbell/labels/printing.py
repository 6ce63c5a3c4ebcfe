"""The faces of labels in printing order, and the findings that a maker should read before printing."""

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from benchbell.findings import Finding
from benchbell.labels.face import Face, face_of, square_box
from benchbell.labels.label import Label, address
from benchbell.labels.lettering import Lettering, in_plain_signs
from benchbell.labels.messages import LabelNotes
from benchbell.labels.paper import Layout, places
from benchbell.labels.qr import LEAST_MODULE_MM, Square, best_square


class LabelFaces(Struct, frozen=True):
    """Faces in printing order, and findings about them."""

    faces: tuple[Face, ...]
    findings: tuple[Finding, ...]


def label_notes(made: LabelFaces, layout: Layout) -> LabelNotes:
    """The numbers of labels and pages, and the findings."""
    pages = max((page for page, _ in places(layout, len(made.faces))), default=-1) + 1
    return LabelNotes(len(made.faces), pages, made.findings)


def label_faces(
    labels: Sequence[Label], layout: Layout, host: str, lettering: Lettering, copies: int = 1
) -> LabelFaces:
    """Every label's face, each `copies` times. host: of the server, with its port.

    Raises Refused when an address is too long for a QR symbol.
    """
    width, height = layout.label
    made: list[tuple[Label, Square, Face]] = []
    for label in labels:
        square = best_square(square_texts(label, host), square_box(width, height, bool(label.code)).width)
        made.append((label, square, face_of(label, width, height, square, lettering)))
    faces = tuple(face for _, _, face in made for _ in range(copies))
    return LabelFaces(faces, tuple(findings(made, layout, lettering)))


def square_texts(label: Label, host: str) -> tuple[str, ...]:
    """The texts a label's square may have, the best first: the address, then the code alone."""
    return (address(label, host), label.code) if label.code else (address(label, host),)


def findings(made: Iterable[tuple[Label, Square, Face]], layout: Layout, lettering: Lettering) -> Iterator[Finding]:
    """The warnings about each label."""
    for label, square, face in made:
        yield from module_findings(label, square, layout)
        if square.text == label.code:
            yield warning(
                label,
                "code-alone",
                "has no room for an address: its square holds only the code.",
                "Scan it from within Benchbell, or print larger labels.",
            )
        if not face.whole:
            yield warning(
                label,
                "words-left-out",
                "has more words than fit.",
                "Print larger labels, or shorten the recipe's words.",
            )
        yield from letter_findings(label, lettering)


def module_findings(label: Label, square: Square, layout: Layout) -> Iterator[Finding]:
    """A warning when the square's modules are too small for a phone."""
    side = square_box(*layout.label, bool(label.code)).width
    if square.module_mm(side) < LEAST_MODULE_MM:
        yield warning(
            label,
            "square-too-fine",
            f"prints its square with modules of {square.module_mm(side):.2f} mm, the least is {LEAST_MODULE_MM:g} mm.",
            "Print larger labels, or serve the page under a shorter name.",
        )


def letter_findings(label: Label, lettering: Lettering) -> Iterator[Finding]:
    """A warning about the first text with letters that the font lacks."""
    for text in (label.title, label.piece, label.place, label.mark, *label.mates):
        written = lettering.writable(text)
        if in_plain_signs(written) != in_plain_signs(" ".join(text.split())):
            yield warning(
                label,
                "letters-replaced",
                f"writes “{text}” as “{written}”: the font lacks some of its letters.",
                "Give a font that has them with --font, or print from the page.",
            )
            return


def warning(label: Label, rule: str, what: str, next_step: str) -> Finding:
    """A warning about one label. what: follows its id in the sentence."""
    return Finding("warning", rule, "labels", 0, f"{label.id} {what}", next_step)
