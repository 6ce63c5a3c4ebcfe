"""How many pixels a picture's file claims to have, read from its first pieces without decoding it.

JPEG: ITU-T T.81, B.2.2. PNG: W3C PNG, third edition, 11.2.1. WebP: RFC 9649, 2.5 to 2.7, and RFC 6386, 9.1.
"""

from collections.abc import Callable

MOST_PIXELS = 25_000_000
"""Decoded, they take 75 MB. The page sends 1600 by 1600 pixels at most; a file of some kilobytes can claim millions."""

FILL = 0xFF
"""Any number of such bytes may stand before a marker (ITU-T T.81, B.1.1.2)."""

FRAMES = {0xC0 + n for n in range(16)} - {0xC4, 0xC8, 0xCC}
SCAN, END = 0xDA, 0xD9


def pixels(body: bytes) -> int:
    """The pixels that a JPEG, PNG or WebP claims to have, in its largest frame; 0 when it does not say."""
    for magic, place, size_in in FORMATS:
        if body[place : place + len(magic)] == magic:
            return size_in(body)
    return 0


def is_bounded(body: bytes) -> bool:
    """Whether a picture says how large it is, and is not too large to be decoded."""
    return 0 < pixels(body) <= MOST_PIXELS


def jpeg_pixels(body: bytes) -> int:
    """Of a JPEG: height and width stand in each frame header."""
    at, most = 2, 0
    while len(body) >= at + 9 and body[at] == 0xFF and body[at + 1] not in (SCAN, END):
        if body[at + 1] == FILL:
            at += 1
            continue
        if body[at + 1] in FRAMES:
            most = max(most, int.from_bytes(body[at + 5 : at + 7]) * int.from_bytes(body[at + 7 : at + 9]))
        at += 2 + int.from_bytes(body[at + 2 : at + 4])
    return most


def png_pixels(body: bytes) -> int:
    """Of a PNG: they stand in its first chunk."""
    return int.from_bytes(body[16:20]) * int.from_bytes(body[20:24])


def webp_pixels(body: bytes) -> int:
    """Of a WebP: they stand in its canvas, and in each of its frames."""
    at, most = 12, 0
    while len(body) >= at + 8:
        content = body[at + 8 : at + 18]
        match body[at : at + 4]:
            case b"VP8X":
                most = max(most, (little(content[4:7]) + 1) * (little(content[7:10]) + 1))
            case b"VP8 ":
                most = max(most, (little(content[6:8]) & 0x3FFF) * (little(content[8:10]) & 0x3FFF))
            case b"VP8L":
                bits = little(content[1:5])
                most = max(most, ((bits & 0x3FFF) + 1) * ((bits >> 14 & 0x3FFF) + 1))
        size = little(body[at + 4 : at + 8])
        at += 8 + size + size % 2
    return most


def little(digits: bytes) -> int:
    """Bytes as a number, the lowest first."""
    return int.from_bytes(digits, "little")


FORMATS: tuple[tuple[bytes, int, Callable[[bytes], int]], ...] = (
    (b"\xff\xd8\xff", 0, jpeg_pixels),
    (b"\x89PNG\r\n\x1a\n", 0, png_pixels),
    (b"WEBP", 8, webp_pixels),
)
"""The bytes that tell a format, their place, and the function that reads its size."""
