"""The log's epoch, which names one unbroken run of positions: those of two epochs cannot be compared."""

import sqlite3

NEW_EPOCH = "UPDATE log_epoch SET id = lower(hex(randomblob(8)))"
"""Positions from before mean nothing then."""


def epoch(db: sqlite3.Connection) -> str:
    """The log's epoch, 16 hex digits."""
    return str(db.execute("SELECT id FROM log_epoch").fetchone()[0])


def begin_epoch(db: sqlite3.Connection) -> None:
    """Begin a new epoch, because the log has lost its end: every device reads it from the start."""
    db.execute(NEW_EPOCH)
