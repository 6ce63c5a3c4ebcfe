"""A line on the terminal that says what is being done, for work that takes more than a second."""

import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

SHOWN_AFTER_S = 1.0
EVERY_S = 0.5
CLEAR_LINE = "\r\x1b[K"


@contextmanager
def progress(doing: str) -> Iterator[None]:
    """While the work inside goes on, from its second second: what is being done, and for how long.

    It is written on the error stream, and only where that is a terminal; it is gone when the work is done.
    """
    if not sys.stderr.isatty():
        yield
        return
    done = threading.Event()
    teller = threading.Thread(target=tell_until, args=(done, doing), daemon=True)
    teller.start()
    try:
        yield
    finally:
        done.set()
        teller.join()


def tell_until(done: threading.Event, doing: str) -> None:
    """Write the line anew every half second until the work is done, then clear it."""
    began = time.monotonic()
    if done.wait(SHOWN_AFTER_S):
        return
    while not done.wait(EVERY_S):
        sys.stderr.write(f"{CLEAR_LINE}{doing}: {time.monotonic() - began:.0f} s")
        sys.stderr.flush()
    sys.stderr.write(CLEAR_LINE)
    sys.stderr.flush()
