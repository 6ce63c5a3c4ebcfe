"""What the tests ask of records beyond what the program does."""

import msgspec
from msgspec import Raw


async def kept(records):
    """Every happening's bytes, by position."""
    whole = await records.slice_after(0, 1_000_000, most_bytes=10**9)
    return [bytes(raw) for raw in msgspec.json.decode(whole.listed, type=list[Raw])]
