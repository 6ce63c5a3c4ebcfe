"""A mark of the program that works out what rings: what another one worked out before is not believed."""

from collections.abc import Iterator
from hashlib import sha256
from importlib.metadata import version
from importlib.resources import files
from importlib.resources.abc import Traversable

ROOMS = ("alerts", "bench", "recipe", "trade")
"""Where a change may change what rings."""


def code_fingerprint() -> str:
    """16 hex digits that change with the program."""
    package = files("benchbell")
    sources = [source for room in ROOMS for source in sources_in(package / room)]
    return sha256(b"\0".join([version("benchbell").encode(), *sources])).hexdigest()[:16]


def sources_in(room: Traversable) -> Iterator[bytes]:
    """Its modules, by name."""
    for file in sorted(room.iterdir(), key=lambda one: one.name):
        if file.name.endswith(".py"):
            yield file.read_bytes()
