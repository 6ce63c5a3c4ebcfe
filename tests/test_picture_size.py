"""What a picture's file claims to be, against what the imaging library reads in it."""

from io import BytesIO

import pytest
from benchbell.picture_size import MOST_PIXELS, pixels
from PIL import Image


def picture(form, size, mode="RGB", **choices) -> bytes:
    made = BytesIO()
    Image.new(mode, size).save(made, form, **choices)
    return made.getvalue()


@pytest.mark.parametrize("size", [(1, 1), (40, 30), (1600, 1200), (1201, 1599)])
@pytest.mark.parametrize(
    ("form", "choices"),
    [
        ("JPEG", {}),
        ("JPEG", {"progressive": True, "dpi": (300, 300)}),
        ("PNG", {}),
        ("PNG", {"mode": "P"}),
        ("WEBP", {}),
        ("WEBP", {"lossless": True}),
        ("WEBP", {"mode": "RGBA", "quality": 40, "icc_profile": b"some profile"}),
    ],
    ids=str,
)
def test_it_is_what_the_imaging_library_reads(form, choices, size):
    body = picture(form, size, **choices)

    assert size == Image.open(BytesIO(body)).size
    assert size[0] * size[1] == pixels(body)


@pytest.mark.parametrize("choices", [{}, {"progressive": True}], ids=["baseline", "progressive"])
def test_no_filling_hides_the_size_of_a_jpeg(choices):
    body = picture("JPEG", (40, 30), **choices)
    for marker in (b"\xff\xe0", b"\xff\xdb", b"\xff\xc2" if choices else b"\xff\xc0"):
        filled = body.replace(marker, b"\xff\xff\xff" + marker, 1)

        assert (40, 30) == Image.open(BytesIO(filled)).size
        assert 40 * 30 == pixels(filled)


def test_the_page_may_send_what_a_phone_takes():
    assert 1600 * 1600 < MOST_PIXELS


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_no_bytes_make_it_fail(form):
    whole = picture(form, (40, 30))
    for length in range(len(whole)):
        assert pixels(whole[:length]) >= 0
    for place in range(min(len(whole), 400)):
        for value in (0x00, 0x7F, 0xC0, 0xFF):
            assert pixels(whole[:place] + bytes([value]) + whole[place + 1 :]) >= 0


def test_what_is_no_picture_claims_nothing():
    assert [0, 0, 0] == [pixels(body) for body in (b"", b"GIF89a", b"nothing of a picture")]
