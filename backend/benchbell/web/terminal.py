"""The server's output on its terminal: how to pair a device, and the log."""

import io
import sys
from contextlib import suppress
from typing import TextIO, cast

import structlog
from qrcode.constants import ERROR_CORRECT_M
from qrcode.main import QRCode

from benchbell.recipe.label_code import show_code


def square(text: str) -> str:
    """A QR code in half-block characters. Its quiet zone is printed, so it works on dark and light terminals."""
    code = QRCode(border=2, error_correction=ERROR_CORRECT_M)
    code.add_data(text)
    drawn = io.StringIO()
    code.print_ascii(out=drawn, invert=True)
    return drawn.getvalue()


def pairing_instructions(address: str, code: str) -> str:
    """How to pair one device, for the person at the terminal. code: as stored, without separators.

    The QR code is left out where the terminal cannot write its blocks.
    """
    drawn = f"{square(address)}\n"
    if not can_write(drawn, sys.stdout):
        drawn = ""
    return (
        f"{drawn}"
        f"To pair one device within ten minutes, {'scan this with it, or ' if drawn else ''}open\n"
        f"  {address.partition('#')[0]}\n"
        f"and type {show_code(code)}\n"
    )


def can_write(text: str, stream: TextIO) -> bool:
    """Whether the stream's encoding has all characters of the text."""
    try:
        text.encode(stream.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True


class UnfailingStream:
    """A stream on which writing never fails: a log that stands on a full disk must not stop what it is about."""

    def __init__(self, stream: TextIO) -> None:
        self.stream = stream

    def write(self, text: str) -> None:
        """Write, or drop the text."""
        with suppress(OSError):
            self.stream.write(text)

    def flush(self) -> None:
        """Pass on what is buffered, or keep it for the next time."""
        with suppress(OSError):
            self.stream.flush()


def configure_logging() -> None:
    """Log to standard error, one readable line for each event. Tokens and codes are never logged."""
    structlog.configure(
        processors=[
            structlog.processors.TimeStamper(fmt="%Y-%m-%d %H:%M:%S", utc=False),
            structlog.processors.add_log_level,
            structlog.processors.format_exc_info,
            structlog.dev.ConsoleRenderer(colors=sys.stderr.isatty()),
        ],
        logger_factory=structlog.PrintLoggerFactory(cast(TextIO, UnfailingStream(sys.stderr))),
        cache_logger_on_first_use=True,
    )
