"""Text on terminals: colour where it is wanted, and plain letters where others cannot be shown."""

import codecs
import io
import os
import sys
import unicodedata
from pathlib import Path
from typing import TextIO

PLAIN = {
    "“": '"', "”": '"', "‘": "'", "’": "'", "″": '"', "′": "'", "…": "...", "×": "x", "→": "->", "·": "-",
    "–": "-", "—": "-", "−": "-", "≡": "=", "°": "deg ", "²": "^2", "³": "^3", "\u00a0": " ", "\u202f": " ",
}  # fmt: skip
"""What stands for a character on a terminal that cannot show it."""

COLOURS = {"error": "31", "warning": "33", "accepted": "2"}
"""By grade, the colour of its word: red, yellow, dim. ECMA-48, select graphic rendition."""


def allow_every_terminal() -> None:
    """Let output that its terminal cannot show become plain letters, and output that is closed go nowhere."""
    sys.stdout = sys.stdout or nowhere()
    sys.stderr = sys.stderr or nowhere()
    codecs.register_error("plain-letters", plain_letters)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and not shows_everything(stream):
            stream.reconfigure(errors="plain-letters")


def nowhere() -> TextIO:
    """A stream whose text goes nowhere, for as long as the program runs."""
    return Path(os.devnull).open("w", encoding="utf-8")


def shows_everything(stream: TextIO) -> bool:
    """Whether a stream's encoding has every character."""
    return (stream.encoding or "").lower().replace("-", "") in {"utf8", "utf16", "utf32"}


def plain_letters(error: UnicodeError) -> tuple[str, int]:
    """The plain letters for characters that cannot be encoded, and where to go on. Raises what is no such error."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(plain_letter, error.object[error.start : error.end])), error.end


def plain_letter(character: str) -> str:
    """ASCII for one character: of a letter with an accent the letter, and "?" where there is nothing like it."""
    if character in PLAIN:
        return PLAIN[character]
    apart = unicodedata.normalize("NFKD", character).replace("\u2044", "/")
    return apart.encode("ascii", "ignore").decode() or "?"


def coloured(word: str, grade: str) -> str:
    """A word in the colour of a grade, where standard output is a terminal that has colours and nobody minds."""
    if not wants_colour(sys.stdout):
        return word
    return f"\x1b[{COLOURS[grade]}m{word}\x1b[0m"


def wants_colour(stream: TextIO) -> bool:
    """Whether to colour: on a terminal, unless NO_COLOR is set or TERM is dumb."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
