"""Pictures as an imaging library writes them, with and without what a camera adds to them."""

import io
import zlib

import pytest
from benchbell.findings import Refused
from benchbell.store.picture import BARE, check_bare
from PIL import ExifTags, Image, ImageCms
from PIL.PngImagePlugin import PngInfo

TYPES = ["image/jpeg", "image/png", "image/webp"]
PROFILE = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
XMP = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'/>"


def picture(media_type: str, mode: str = "RGB", **choices) -> bytes:
    """A small picture with some detail in it."""
    made = io.BytesIO()
    Image.effect_noise((40, 30), 60).convert(mode).save(made, media_type.partition("/")[2].upper(), **choices)
    return made.getvalue()


def located() -> Image.Exif:
    """What a phone's camera writes: where it stood, with which device, lying on its side."""
    exif = Image.Exif()
    exif[ExifTags.Base.Model] = "a phone"
    exif[ExifTags.Base.Orientation] = 6
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitude] = (48.0, 12.0, 30.0)
    return exif


@pytest.mark.parametrize("media_type", TYPES)
@pytest.mark.parametrize("choices", [{}, {"icc_profile": PROFILE}, {"quality": 30}], ids=["plain", "icc", "coarse"])
def test_a_bare_picture_passes(media_type, choices):
    check_bare(media_type, picture(media_type, **choices))


@pytest.mark.parametrize(
    ("media_type", "choices"),
    [
        ("image/jpeg", {"progressive": True}),
        ("image/jpeg", {"restart_marker_rows": 1}),
        ("image/jpeg", {"mode": "CMYK"}),
        ("image/jpeg", {"mode": "L", "dpi": (300, 300)}),
        ("image/png", {"mode": "P", "dpi": (300, 300), "transparency": 0}),
        ("image/webp", {"mode": "RGBA", "lossless": True}),
        ("image/webp", {"mode": "RGBA", "quality": 40}),
    ],
    ids=str,
)
def test_the_ways_of_writing_a_picture_all_pass(media_type, choices):
    check_bare(media_type, picture(media_type, **choices))


@pytest.mark.parametrize("media_type", TYPES)
@pytest.mark.parametrize("metadata", [{"exif": located()}, {"xmp": XMP}], ids=["exif", "xmp"])
def test_what_tells_where_it_was_taken_is_refused_by_its_name(media_type, metadata):
    if media_type == "image/png" and "xmp" in metadata:
        metadata = {"pnginfo": PngInfo()}
        metadata["pnginfo"].add_itxt("XML:com.adobe.xmp", XMP.decode())
    name = r"(APP1 Exif|eXIf|EXIF|APP1 http://ns.adobe.com/|iTXt|XMP )"
    with pytest.raises(Refused, match=rf"carries more than its picture: {name}.* Take it on the page"):
        check_bare(media_type, picture(media_type, **metadata))


@pytest.mark.parametrize("kind", ["tEXt", "zTXt", "tIME", "prVt"])
def test_text_time_and_private_pieces_of_a_png_are_refused(kind):
    info = PngInfo()
    info.add(kind.encode(), b"Comment\0made at home")
    with pytest.raises(Refused, match=kind):
        check_bare("image/png", picture("image/png", pnginfo=info))


def test_a_comment_in_a_jpeg_is_refused():
    with pytest.raises(Refused, match="COM"):
        check_bare("image/jpeg", picture("image/jpeg", comment="made at home"))


@pytest.mark.parametrize("media_type", TYPES)
@pytest.mark.parametrize("behind", [b"\0", b"<script>alert(1)</script>", b"PK\x03\x04", b"\xff\xd9"])
def test_whatever_follows_behind_the_end_is_refused(media_type, behind):
    with pytest.raises(Refused, match="Something follows behind this photo's end"):
        check_bare(media_type, picture(media_type) + behind)


@pytest.mark.parametrize("media_type", TYPES)
@pytest.mark.parametrize("progressive", [False, True])
def test_a_picture_cut_anywhere_is_refused(media_type, progressive):
    whole = picture(media_type, progressive=progressive)
    for length in range(12, len(whole)):
        with pytest.raises(Refused, match="cut or garbled"):
            check_bare(media_type, whole[:length])


@pytest.mark.parametrize("media_type", TYPES)
def test_no_bytes_make_it_fail_otherwise(media_type):
    whole = picture(media_type)
    for place in range(2, min(len(whole), 700)):
        for value in (0x00, 0x7F, 0xD9, 0xE1, 0xFF):
            try:
                check_bare(media_type, whole[:place] + bytes([value]) + whole[place + 1 :])
            except Refused as refused:
                assert refused.next_step


def test_every_type_that_is_taken_has_its_pieces():
    assert TYPES == list(BARE)


def chunk(name: bytes, content: bytes) -> bytes:
    return len(content).to_bytes(4) + name + content + zlib.crc32(name + content).to_bytes(4)


def png(width: int, height: int, pixel_data: bytes) -> bytes:
    """A PNG of 8-bit greys, made by hand as W3C PNG, 5 has it: each line begins with its filter's type."""
    head = width.to_bytes(4) + height.to_bytes(4) + bytes((8, 0, 0, 0, 0))
    pieces = chunk(b"IHDR", head), chunk(b"IDAT", zlib.compress(pixel_data)), chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + b"".join(pieces)


def test_a_png_with_all_its_pixels_passes():
    check_bare("image/png", png(4, 3, bytes(3 * 5)))


@pytest.mark.parametrize(
    "body",
    [png(0, 0, b""), png(0, 3, bytes(3)), png(4, 3, bytes(3 * 5 - 1)), png(4, 3, b"")],
    ids=["of no size", "without width", "a byte short", "no data"],
)
def test_a_png_without_pixels_or_with_too_few_is_cut(body):
    with pytest.raises(Refused, match="cut or garbled"):
        check_bare("image/png", body)
