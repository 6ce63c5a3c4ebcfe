"""Labels as an HTML document to print from a browser: one SVG for each page of paper, sizes in mm.

Words from a recipe are escaped, so that they can never become markup. The document has no script and no inline style,
as the content security policy demands; the rules for printing to the edge are a separate style sheet.
"""

from collections.abc import Iterator, Sequence
from html import escape
from itertools import groupby

from benchbell.labels.face import Arrow, Bar, Face, Shape, Symbol, Words, arrow_corners, dark_boxes
from benchbell.labels.lettering import Style
from benchbell.labels.paper import Box, Layout, places

FONTS: dict[Style, str] = {
    "plain": 'font-family="Helvetica, Arial, sans-serif"',
    "bold": 'font-family="Helvetica, Arial, sans-serif" font-weight="bold"',
    "mono": 'font-family="Courier, Courier New, monospace" font-weight="bold"',
}


def labels_page(title: str, faces: Sequence[Face], layout: Layout, style: str) -> str:
    """The document. style: address of the style sheet that `page_style` gives for the same layout."""
    placed = zip(faces, places(layout, len(faces)), strict=True)
    pages = "\n".join(
        page_svg([(face, box) for face, (_, box) in on_page], layout)
        for _, on_page in groupby(placed, key=lambda face_at: face_at[1][0])
    )
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<title>{escape(title)}</title>\n<link rel="stylesheet" href="{escape(style)}">\n'
        '<link rel="icon" href="data:,">\n'
        f"</head>\n<body>\n{pages}\n</body>\n</html>\n"
    )


def page_style(layout: Layout) -> str:
    """The style sheet: one SVG for each page of that paper, without the browser's margins."""
    width, height = layout.paper
    return (
        f"@page {{ size: {width:g}mm {height:g}mm; margin: 0 }}\n"
        "body { margin: 0 }\n"
        "svg { display: block; break-after: page; background: white }\n"
        "@media screen { body { background: #888 } svg { margin: 8mm auto } }\n"
    )


def page_svg(faces: Sequence[tuple[Face, Box]], layout: Layout) -> str:
    """One page of paper with its labels, as SVG."""
    width, height = layout.paper
    shapes = "\n".join(
        f'<g transform="translate({box.x:.3f} {box.y:.3f})">\n' + "\n".join(map(svg, face.shapes)) + "\n</g>"
        for face, box in faces
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}mm" height="{height:g}mm" '
        f'viewBox="0 0 {width:g} {height:g}">\n{shapes}\n</svg>'
    )


def svg(shape: Shape) -> str:
    """One shape as SVG."""
    match shape:
        case Symbol():
            return f'<path shape-rendering="crispEdges" d="{"".join(map(outline, dark_boxes(shape)))}"/>'
        case Bar(box, white):
            return f'<path fill="{colour(white)}" d="{outline(box)}"/>'
        case Arrow():
            return f'<polygon points="{" ".join(points(shape))}"/>'
        case Words(text, x, y, size, width, style, white):
            # textLength makes a browser with another font squeeze the letters, so that they do not overflow.
            return (
                f'<text x="{x:.3f}" y="{y:.3f}" font-size="{size:.3f}" textLength="{width:.3f}" '
                f'lengthAdjust="spacingAndGlyphs" fill="{colour(white)}" {FONTS[style]}>{escape(text)}</text>'
            )


def outline(box: Box) -> str:
    """A rectangle as SVG path data."""
    return f"M{box.x:.3f} {box.y:.3f}h{box.width:.3f}v{box.height:.3f}h{-box.width:.3f}z"


def points(arrow: Arrow) -> Iterator[str]:
    """An arrow's corners as SVG points."""
    return (f"{x:.3f},{y:.3f}" for x, y in arrow_corners(arrow))


def colour(white: bool) -> str:
    """The SVG colour: labels are black and white."""
    return "white" if white else "black"
