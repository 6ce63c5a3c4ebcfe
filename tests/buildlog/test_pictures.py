"""Photos of a build in its log: drawn with their captions, or told as missing."""

import csv
import hashlib
import struct
import zlib
from datetime import UTC
from io import BytesIO, StringIO

import pypdfium2
import pytest
from benchbell.bench.book import Book
from benchbell.bench.happenings import Happening, Photo, Stamp, Undone
from benchbell.buildlog.csv import story_csv
from benchbell.buildlog.pdf import log_pdf
from benchbell.buildlog.pictures import NOT_HERE, UNREADABLE
from benchbell.buildlog.story import build_log
from benchbell.labels.lettering import built_in
from buildlog.worked import MINUTE, PHONE, START, worked
from PIL import Image
from pypdfium2.raw import FPDF_PAGEOBJ_IMAGE


def jpeg(shade: int, size=(1600, 1200)) -> bytes:
    made = BytesIO()
    Image.new("RGB", size, (shade, 120, 60)).save(made, "JPEG")
    return made.getvalue()


def png_of_untold_size(side: int) -> bytes:
    """A whole picture that would fill the server's memory, in few bytes. W3C PNG, third edition, 5."""
    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    pieces = ((b"IHDR", head), (b"IDAT", zlib.compress(bytes(100_000))), (b"IEND", b""))
    chunks = (struct.pack(">I", len(c)) + name + c + struct.pack(">I", zlib.crc32(name + c)) for name, c in pieces)
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def name_of(body: bytes) -> str:
    return hashlib.sha256(body).hexdigest()


def book_with(*photos: tuple[str, tuple[str, ...], str], undone: bool = False) -> Book:
    """The worked build with photos by SHA-256, what each is of, and its text."""
    book = worked()
    for n, (sha256, about, text) in enumerate(photos):
        at = Stamp(START + (30 + n) * MINUTE, 5, PHONE)
        book.add(Happening(f"photo-{n}", 50 + n, at, "stool", about, Photo(sha256, "image/jpeg", 9, text)))
        if undone:
            book.add(Happening(f"undone-{n}", 80 + n, Stamp(at.ms, 6, PHONE), "stool", about, Undone(f"photo-{n}")))
    return book


def log_of(book: Book):
    return build_log("stool", book, {PHONE: "bench phone"})


def pages_of(book: Book, pictures: dict[str, bytes]):
    return pypdfium2.PdfDocument(log_pdf(log_of(book), UTC, built_in(), pictures.get))


def words_of(document) -> str:
    return " ".join(" ".join(page.get_textpage().get_text_bounded().split()) for page in document)


def images_of(document):
    return [image for page in document for image in page.get_objects(filter=[FPDF_PAGEOBJ_IMAGE])]


def test_a_photo_stands_in_the_log_with_what_it_was_taken_of_when_and_by_whom():
    body = jpeg(90)
    document = pages_of(book_with((name_of(body), ("A/groove", "A/side-1"), "")), {name_of(body): body})

    assert len(images_of(document)) == 1
    assert "Groove, 2026-09-21 14:43, bench phone." in words_of(document)


def test_a_text_of_its_own_is_its_caption():
    assert "Tear-out at the end, 2026-09-21" in words_of(pages_of(book_with(("0" * 64, (), "Tear-out at the end")), {}))


def test_a_photo_that_has_not_arrived_is_told_and_is_no_error():
    document = pages_of(book_with(("0" * 64, ("A/side-1",), "")), {})

    assert images_of(document) == []
    assert NOT_HERE in words_of(document)


@pytest.mark.parametrize(
    "body",
    [
        *(b"", b"\xff\xd8\xff", jpeg(1)[:300], b"\x89PNG\r\n\x1a\n" + b"\0" * 40, b"RIFFWEBP"),
        *(png_of_untold_size(side) for side in (100_000, 60_000, 12_000, 5_100)),
    ],
    ids=lambda body: f"{len(body)} bytes",
)
def test_a_damaged_picture_is_told_and_the_rest_of_the_log_stands(body):
    words = words_of(pages_of(book_with(("0" * 64, ("A/side-1",), "")), {"0" * 64: body}))

    assert UNREADABLE in words
    assert "Stool <b>one</b>" in words


def test_many_photos_fill_pages_and_stay_small_enough_to_send():
    bodies = [jpeg(shade) for shade in range(13)]
    book = book_with(*((name_of(body), ("A/groove",), "") for body in bodies))
    pdf = log_pdf(log_of(book), UTC, built_in(), {name_of(body): body for body in bodies}.get)
    document = pypdfium2.PdfDocument(pdf)
    bounds = [image.get_bounds() for image in images_of(document)]

    assert len(bounds) == 13
    assert all(left >= 0 and bottom >= 0 and right <= 595.3 and top <= 841.9 for left, bottom, right, top in bounds)
    assert len(pdf) < 13 * 60_000
    assert max(image.get_px_size()[0] for image in images_of(document)) <= 750


def test_a_photo_that_was_undone_is_told_in_the_story_alone():
    log = log_of(book_with(("0" * 64, (), ""), undone=True))

    assert log.photos == ()
    assert [entry.undone for entry in log.entries if entry.photo] == [True]


def test_the_table_of_happenings_names_each_picture():
    head, *rows = csv.reader(StringIO(story_csv(log_of(book_with(("a" * 64, (), ""))), UTC)))

    assert [row[head.index("photo")] for row in rows if row[head.index("photo")]] == ["a" * 64]
