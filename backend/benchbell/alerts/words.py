"""An operation's name for notifications, calendars and the server's bell, and text made harmless for them."""

import unicodedata

from benchbell.recipe.sheet import Operation


def title_of(op: Operation) -> str:
    """The operation as a person calls it, with its piece where it has one."""
    return f"{op.title}, piece {op.piece}" if op.piece else op.title


def plain(text: str) -> str:
    """The text with spaces for what breaks a terminal or a calendar: controls, byte order marks, surrogates."""
    if text.isprintable():
        return text
    return "".join(" " if unicodedata.category(char) in ("Cc", "Cs") or char == "\ufeff" else char for char in text)
