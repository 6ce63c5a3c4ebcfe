"""A fingerprint of the code that works out what rings: results cached by another version are not used."""

from collections.abc import Iterator
from hashlib import sha256
from importlib.metadata import version
from importlib.resources import files
from importlib.resources.abc import Traversable

ROOMS = ("alerts", "bench", "recipe", "trade")
"""The packages on which rings depend."""


def code_fingerprint() -> str:
    """16 hex digits of a SHA-256 over the program's version and the source of ROOMS."""
    package = files("benchbell")
    sources = [source for room in ROOMS for source in sources_in(package / room)]
    return sha256(b"\0".join([version("benchbell").encode(), *sources])).hexdigest()[:16]


def sources_in(room: Traversable) -> Iterator[bytes]:
    """The source of each module of a package, sorted by name."""
    for file in sorted(room.iterdir(), key=lambda one: one.name):
        if file.name.endswith(".py"):
            yield file.read_bytes()
