"""What each ring asks for, in words: one table for notifications, calendars and the server's bell."""

import tomllib
import unicodedata
from functools import cache
from importlib.resources import files

import msgspec
from msgspec import Struct

from benchbell.recipe.sheet import Operation


class Words(Struct, frozen=True):
    """title: a few words for a glance. text: what to do. cautions: ids of those worth a line beside it."""

    title: str
    text: str
    cautions: tuple[str, ...]


@cache
def table() -> dict[str, dict[str, tuple[str, ...]]]:
    """By kind of clock: `cautions`, and the title and text of each stage."""
    text = files(__package__).joinpath("words.toml").read_text(encoding="utf-8")
    return msgspec.convert(tomllib.loads(text), dict[str, dict[str, tuple[str, ...]]])


def words_for(kind: str, stage: str) -> Words:
    """The words of a ring. The repeats of a stage, "again-1" and so on, share theirs."""
    rows = table()[kind]
    stem, _, number = stage.rpartition("-")
    title, text = rows[stem if number.isdigit() else stage]
    return Words(title, text, rows["cautions"])


def title_of(op: Operation) -> str:
    """The operation as a person calls it, with its piece where it has one."""
    return f"{op.title}, piece {op.piece}" if op.piece else op.title


def plain(text: str) -> str:
    """The text without what troubles a terminal or a calendar: control characters, byte order marks, surrogates."""
    if text.isprintable():
        return text
    return "".join(" " if unicodedata.category(char) in ("Cc", "Cs") or char == "\ufeff" else char for char in text)
