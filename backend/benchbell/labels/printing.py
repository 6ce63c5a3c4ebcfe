"""From a build's labels to the faces that go on paper, and what the maker should know before printing them."""

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from benchbell.findings import Finding
from benchbell.labels.face import Face, face_of, square_box
from benchbell.labels.label import Label, address
from benchbell.labels.lettering import Lettering
from benchbell.labels.messages import LabelsTold
from benchbell.labels.paper import Layout, places
from benchbell.labels.qr import LEAST_MODULE_MM, Square, best_square


class Printed(Struct, frozen=True):
    """The faces in the order in which they are printed, and what is worth knowing about them."""

    faces: tuple[Face, ...]
    findings: tuple[Finding, ...]


def told(printed: Printed, layout: Layout) -> LabelsTold:
    """The figures."""
    pages = max((page for page, _ in places(layout, len(printed.faces))), default=-1) + 1
    return LabelsTold(len(printed.faces), pages, printed.findings)


def printed(labels: Sequence[Label], layout: Layout, host: str, lettering: Lettering, copies: int = 1) -> Printed:
    """Every label's face, so many times in a row. host: where the page is served, with its port."""
    width, height = layout.label
    made: list[tuple[Label, Square, Face]] = []
    for label in labels:
        square = best_square(held(label, host), square_box(width, height, bool(label.code)).width)
        made.append((label, square, face_of(label, width, height, square, lettering)))
    faces = tuple(face for _, _, face in made for _ in range(copies))
    return Printed(faces, tuple(findings(made, layout, lettering)))


def held(label: Label, host: str) -> tuple[str, ...]:
    """What its square may hold: the address, or the code alone where the address would print too fine."""
    return (address(label, host), label.code) if label.code else (address(label, host),)


def findings(made: Iterable[tuple[Label, Square, Face]], layout: Layout, lettering: Lettering) -> Iterator[Finding]:
    """Warnings, label by label."""
    for label, square, face in made:
        yield from module_findings(label, square, layout)
        if square.text == label.code:
            yield warning(
                label,
                "code-alone",
                "has no room for an address, its square holds the code alone.",
                "Scan it inside the page, or print larger labels.",
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
    """A warning when the square prints too fine for a phone."""
    side = square_box(*layout.label, bool(label.code)).width
    if square.module_mm(side) < LEAST_MODULE_MM:
        yield warning(
            label,
            "square-too-fine",
            f"prints its square with modules of {square.module_mm(side):.2f} mm, {LEAST_MODULE_MM:g} mm is the least.",
            "Print larger labels, or serve the page under a shorter name.",
        )


def letter_findings(label: Label, lettering: Lettering) -> Iterator[Finding]:
    """A warning for the first words that the font cannot write as they are."""
    for text in (label.title, label.piece, label.place, label.mark, *label.mates):
        if (written := lettering.writable(text)) != " ".join(text.split()):
            yield warning(
                label,
                "letters-replaced",
                f"writes “{text}” as “{written}”: the font has not all its letters.",
                "Give a font that has them with --font, or print from the page.",
            )
            return


def warning(label: Label, rule: str, what: str, next_step: str) -> Finding:
    """One thing to know about one label."""
    return Finding("warning", rule, "labels", 0, f"{label.id} {what}", next_step)
