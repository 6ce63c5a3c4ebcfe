"""Labels as a PDF of vector shapes and text, which every printer prints sharply."""

from collections.abc import Sequence

from fpdf import FPDF
from fpdf.enums import RenderStyle

from benchbell.labels.face import Arrow, Bar, Face, Shape, Symbol, Words, arrow_corners, dark_boxes
from benchbell.labels.lettering import ENCODING, PDF_FONTS, POINTS_A_MM, Lettering, Style
from benchbell.labels.paper import Box, Layout, places

FILLED = RenderStyle.F

OVERLAP_MM = 0.01
"""How much rectangles below each other overlap: without it some screens show white lines between them."""


def labels_pdf(title: str, faces: Sequence[Face], layout: Layout, lettering: Lettering) -> bytes:
    """The labels as a PDF file. title: of the document, which a PDF reader shows."""
    pdf = blank(title, layout, lettering)
    pages = 0
    for face, (page, box) in zip(faces, places(layout, len(faces)), strict=True):
        while pages <= page:
            pdf.add_page()
            pages += 1
        for shape in face.shapes:
            draw(pdf, shape, box, lettering)
    return bytes(pdf.output())


def blank(title: str, layout: Layout, lettering: Lettering) -> FPDF:
    """A document without pages, with this paper and these letters."""
    pdf = FPDF(orientation="portrait", unit="mm", format=layout.paper)
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    pdf.core_fonts_encoding = ENCODING
    pdf.set_title(title)
    if lettering.font is not None:
        pdf.add_font("label", fname=lettering.font)
    return pdf


def draw(pdf: FPDF, shape: Shape, at: Box, lettering: Lettering) -> None:
    """Draw one shape of the label whose box is `at`."""
    match shape:
        case Symbol():
            pdf.set_fill_color(0)
            for box in dark_boxes(shape):
                pdf.rect(at.x + box.x, at.y + box.y, box.width, box.height + OVERLAP_MM, style=FILLED)
        case Bar(box, white):
            pdf.set_fill_color(255 if white else 0)
            pdf.rect(at.x + box.x, at.y + box.y, box.width, box.height, style=FILLED)
        case Arrow():
            pdf.set_fill_color(0)
            pdf.polygon([(at.x + x, at.y + y) for x, y in arrow_corners(shape)], style=FILLED)
        case Words(text, x, y, size, _, style, white):
            pdf.set_font(*font(style, lettering), size * POINTS_A_MM)
            pdf.set_text_color(255 if white else 0)
            pdf.text(at.x + x, at.y + y, text)


def font(style: Style, lettering: Lettering) -> tuple[str, str]:
    """The font's family and emphasis in the document."""
    return PDF_FONTS[style] if lettering.font is None or style == "mono" else ("label", "")
