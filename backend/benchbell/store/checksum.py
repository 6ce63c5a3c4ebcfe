"""A CRC-32 of every entry's bytes, so that a byte which changes on the disk is noticed.

CRC-32 finds every single changed byte, and of larger damage all but one case in four thousand million.
"""

from zlib import crc32

import msgspec

from benchbell.bench.encoding import read_envelope
from benchbell.findings import Refused

checksum = crc32
"""The checksum of an entry's bytes, 32 bits."""

SEPARATOR = b"\x1e"
"""ASCII's record separator: no JSON text holds it (RFC 8259, sections 2 and 7; RFC 7464 separates such texts with it).

Where a damaged body holds it all the same, or one that a device did not write as JSON, the sum of `bodies_in` differs.
"""


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


def bodies_in(joined: bytes | None, total: int) -> list[bytes] | None:
    """The bodies that were joined with SEPARATOR, when all are intact; None where they are to be checked one by one.

    total: the sum of their checksums. It is as good as one by one: two damaged bodies make up for each other once in
    four thousand million. joined: None where there is none.
    """
    if joined is None:
        return []
    bodies = joined.split(SEPARATOR)
    return bodies if sum(map(crc32, bodies)) == total else None
