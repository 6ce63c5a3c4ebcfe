"""What lies in a picture's file: the picture and how it is to be read, and nothing that tells where, when or by whom.

JPEG: ITU-T T.81, annex B, and JFIF (T.871). PNG: W3C PNG, third edition, 5. WebP: RFC 9649, 2.
"""

import re
import zlib
from collections.abc import Callable, Iterator

from benchbell.findings import Refused

BARE = {
    "image/jpeg": {
        *(f"SOF{n}" for n in (0, 1, 2, 3, 5, 6, 7, 9, 10, 11, 13, 14, 15)),
        *("DHT", "DAC", "DQT", "DRI", "DNL", "SOS", "APP0 JFIF", "APP2 ICC_PROFILE", "APP14 Adobe"),
    },
    "image/png": {
        *("IHDR", "PLTE", "IDAT", "IEND", "tRNS", "cHRM", "gAMA"),
        *("iCCP", "sBIT", "sRGB", "cICP", "bKGD", "hIST", "pHYs"),
    },
    "image/webp": {"VP8 ", "VP8L", "VP8X", "ALPH", "ICCP"},
}
"""The pieces a still picture is made of, by media type."""

SOF, SCAN, END, APP = 0xC0, 0xDA, 0xD9, 0xE0
NAMES = {0xC4: "DHT", 0xCC: "DAC", 0xDB: "DQT", 0xDC: "DNL", 0xDD: "DRI", SCAN: "SOS", 0xFE: "COM"}
AFTER_SCAN = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")
"""The next marker that ends a scan: not a stuffed byte, not a restart."""

PRINTABLE = re.compile(rb"[ -~]{0,20}")


def check_bare(media_type: str, body: bytes) -> None:
    """Raises Refused when the file is cut, has something behind its end, or says more than its picture shows."""
    for name in PIECES[media_type](body):
        if name not in BARE[media_type]:
            raise Refused(
                f"This photo carries more than its picture: {name}, which may tell where it was taken.",
                "Take it on the page, which leaves that out.",
            )


def cut() -> Refused:
    """For a file that is not whole."""
    return Refused("This photo's file is cut or garbled.", "Send it again from the start.")


def too_long() -> Refused:
    """For a file that something was put behind."""
    return Refused("Something follows behind this photo's end.", "Take it on the page, which leaves that out.")


def called(content: bytes) -> str:
    """What a piece calls itself in its first bytes, as far as that can be shown."""
    return PRINTABLE.match(content)[0].decode()  # type: ignore[index]  # it matches even nothing


def jpeg_pieces(body: bytes) -> Iterator[str]:
    """Names of a JPEG's segments, applications' with what they call themselves. Raises Refused."""
    at = 2
    while body[at : at + 2] != bytes((0xFF, END)):
        if len(body) < at + 4 or body[at] != 0xFF:
            raise cut()
        marker = body[at + 1]
        ends = at + 2 + int.from_bytes(body[at + 2 : at + 4])
        yield jpeg_name(marker, body[at + 4 : ends])
        if marker == SCAN:
            after = AFTER_SCAN.search(body, ends)
            ends = after.start() if after else len(body)
        at = ends
    if len(body) > at + 2:
        raise too_long()


def jpeg_name(marker: int, content: bytes) -> str:
    """What such a segment is called."""
    if APP <= marker < APP + 16:
        return f"APP{marker - APP} {called(content)}"
    return NAMES.get(marker) or (f"SOF{marker - SOF}" if SOF <= marker < SOF + 16 else f"segment {marker:02X}")


def png_pieces(body: bytes) -> Iterator[str]:
    """Types of a PNG's chunks. Raises Refused."""
    at, name = 8, ""
    pixel_data: list[bytes] = []
    while name != "IEND":
        if len(body) < at + 12:
            raise cut()
        size, name = int.from_bytes(body[at : at + 4]), called(body[at + 4 : at + 8])
        yield name
        pixel_data += [body[at + 8 : at + 8 + size]] if name == "IDAT" else []
        at += size + 12
    if len(body) != at:
        raise too_long() if len(body) > at else cut()
    if inflated(pixel_data, needed := png_needs(body)) < needed:
        raise cut()


SAMPLES = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
"""Of a PNG's pixel, by its colour type (W3C PNG, 11.2.1)."""


def png_needs(body: bytes) -> int:
    """How many bytes a PNG's pixels take at least before they are compressed: those of its whole lines.

    An interlaced one has some more. Raises Refused where it has no pixels.
    """
    if body[8:16] != b"\0\0\0\x0dIHDR":
        raise cut()
    width, height = int.from_bytes(body[16:20]), int.from_bytes(body[20:24])
    bits = body[24] * SAMPLES.get(body[25], 0)
    if not width * height * bits:
        raise cut()
    return height * (-(-width * bits // 8) + 1 if not body[28] else width * bits // 8)


def inflated(pieces: list[bytes], enough: int) -> int:
    """The length of what is compressed in these pieces together, in bytes, as far as it can be read and up to `enough`.

    Never more than MOST_AT_ONCE of it is in memory.
    """
    length, reader = 0, zlib.decompressobj()
    try:
        for piece in pieces:
            left = piece
            while left and length < enough:
                length += len(reader.decompress(left, MOST_AT_ONCE))
                left = reader.unconsumed_tail
    except zlib.error:
        return length
    return length


MOST_AT_ONCE = 1 << 20
"""Bytes: what is compressed into little may be much."""


def webp_pieces(body: bytes) -> Iterator[str]:
    """Types of a WebP's chunks. Raises Refused."""
    said = 8 + int.from_bytes(body[4:8], "little")
    if len(body) != said:
        raise too_long() if len(body) > said else cut()
    at = 12
    while at < len(body):
        yield called(body[at : at + 4])
        size = int.from_bytes(body[at + 4 : at + 8], "little")
        at += 8 + size + size % 2
    if at != len(body):
        raise cut()


PIECES: dict[str, Callable[[bytes], Iterator[str]]] = {
    "image/jpeg": jpeg_pieces,
    "image/png": png_pieces,
    "image/webp": webp_pieces,
}
