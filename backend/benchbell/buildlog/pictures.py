"""The photos of a build's log on PDF pages: two side by side, each with its caption."""

from collections.abc import Callable
from io import BytesIO

from fpdf import FPDF

from benchbell.buildlog.story import PhotoLog
from benchbell.picture_size import is_bounded

Pictures = Callable[[str], bytes | None]
"""A function from a photo's SHA-256 to its bytes; None when it has not arrived."""

WIDTH_MM, HEIGHT_MM, GAP_MM, CAPTION_MM = 87.0, 65.0, 6.0, 12.0
WITH_HEADING_MM = HEIGHT_MM + CAPTION_MM + 12
DOTS_PER_POINT = 3
"""Resolution of photos, 216 per inch, so that a log with many photos can still be sent by mail."""

NOT_HERE = "This photo has not arrived at the server. Open the page on the phone that took it."
UNREADABLE = "This photo cannot be read."


def photo_pages(
    pdf: FPDF, photos: tuple[PhotoLog, ...], captions: tuple[str, ...], say: Callable[[str], str], picture: Pictures
) -> None:
    """Draw each photo with its caption, in order."""
    pdf.oversized_images, pdf.oversized_images_ratio = "DOWNSCALE", DOTS_PER_POINT
    pdf.set_image_filter("DCTDecode")
    for n, (photo, caption) in enumerate(zip(photos, captions, strict=True)):
        if n % 2 == 0:
            if pdf.will_page_break(HEIGHT_MM + CAPTION_MM):
                pdf.add_page()
            top = pdf.get_y()
        left = pdf.l_margin + n % 2 * (WIDTH_MM + GAP_MM)
        missing = draw(pdf, picture(photo.sha256), (left, top), say(caption))
        pdf.set_xy(left, top + HEIGHT_MM + 1)
        pdf.set_font("helvetica", "", 8)
        pdf.multi_cell(WIDTH_MM, 4, say(f"{caption} {missing}".strip()), align="L", max_line_height=4)
        pdf.set_xy(pdf.l_margin, top + HEIGHT_MM + CAPTION_MM)


def draw(pdf: FPDF, picture: bytes | None, corner: tuple[float, float], words: str) -> str:
    """Draw a picture, or an empty box. Gives the reason for an empty box, or "". corner: left and top in mm."""
    missing = NOT_HERE if picture is None else placed(pdf, picture, corner, words)
    if missing:
        pdf.rect(*corner, WIDTH_MM, HEIGHT_MM)
    return missing


def placed(pdf: FPDF, picture: bytes, corner: tuple[float, float], words: str) -> str:
    """Draw a picture that has arrived. Gives UNREADABLE when it cannot be read, or would fill the memory; or ""."""
    if not is_bounded(picture):
        return UNREADABLE
    try:
        pdf.image(BytesIO(picture), *corner, WIDTH_MM, HEIGHT_MM, keep_aspect_ratio=True, alt_text=words)
    except Exception:  # for broken files the imaging library raises nearly everything, and one must not cost the log
        return UNREADABLE
    return ""
