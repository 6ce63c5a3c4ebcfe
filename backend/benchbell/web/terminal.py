"""What the server says on its terminal: where it is, how to get a phone onto it, and what happens."""

import io
import sys

import structlog
from qrcode.constants import ERROR_CORRECT_M
from qrcode.main import QRCode

from benchbell.recipe.label_code import show_code


def square(text: str) -> str:
    """A QR symbol in half blocks, for a dark or a light terminal alike: its own quiet zone is printed."""
    code = QRCode(border=2, error_correction=ERROR_CORRECT_M)
    code.add_data(text)
    drawn = io.StringIO()
    code.print_ascii(out=drawn, invert=True)
    return drawn.getvalue()


def told_of_pairing(address: str, code: str) -> str:
    """How to pair one device, for the person at the terminal."""
    return (
        f"{square(address)}\n"
        f"To pair one device within ten minutes, scan this with it, or open\n"
        f"  {address.partition('#')[0]}\n"
        f"and type {show_code(code)}\n"
    )


def keep_log() -> None:
    """One readable line for each thing worth knowing, on standard error; tokens and codes are never given to it."""
    structlog.configure(
        processors=[
            structlog.processors.TimeStamper(fmt="%Y-%m-%d %H:%M:%S", utc=False),
            structlog.processors.add_log_level,
            structlog.processors.format_exc_info,
            structlog.dev.ConsoleRenderer(colors=sys.stderr.isatty()),
        ],
        logger_factory=structlog.PrintLoggerFactory(sys.stderr),
        cache_logger_on_first_use=True,
    )
