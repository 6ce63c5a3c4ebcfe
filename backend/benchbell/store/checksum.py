"""A CRC-32 of every entry's bytes, so that a byte which changes on the disk is noticed.

CRC-32 finds every single changed byte, and of larger damage all but one case in four thousand million.
"""

from zlib import crc32

import msgspec

from benchbell.bench.encoding import read_envelope
from benchbell.findings import Refused

checksum = crc32
"""The checksum of an entry's bytes, 32 bits."""


def checksum_if_readable(body: object) -> int | None:
    """The checksum of bytes that were stored without one; None where they are no entry any more."""
    if not isinstance(body, bytes):
        return None
    try:
        body.decode()
        msgspec.json.decode(body)
        read_envelope(body)
    except (Refused, UnicodeDecodeError, msgspec.DecodeError, RecursionError):
        return None
    return checksum(body)


def is_intact(body: object, crc: object) -> bool:
    """Whether these are the bytes that were stored."""
    return isinstance(body, bytes) and checksum(body) == crc


def all_intact(listed: bytes, total: int) -> bool:
    """Whether all bodies in a JSON list are intact. total: the sum of their checksums.

    A sum is as good as one by one: two damaged bodies make up for each other once in four thousand million.
    """
    try:
        return sum(map(crc32, _raws.decode(listed))) == total
    except msgspec.DecodeError:
        return False


_raws = msgspec.json.Decoder(list[msgspec.Raw])
