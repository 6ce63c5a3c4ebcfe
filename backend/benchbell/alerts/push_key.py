"""The key that this server signs its pushes with (RFC 8292): a file in the data folder, made on the first start."""

from contextlib import suppress
from pathlib import Path

import structlog
from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)

from benchbell.alerts.webpush import CURVE, key_from
from benchbell.findings import Refused
from benchbell.settings import Settings
from benchbell.store.errors import StoreError, disk_error
from benchbell.store.whole_file import write_whole

log = structlog.get_logger()

KEY_FILE = "push.key"
"""In the data folder. Without it every phone must subscribe again."""

KEY_LOST = "Restore it from a backup, or move it away; then each phone has to switch notifications off and on again."


def push_key_of(settings: Settings) -> EllipticCurvePrivateKey:
    """The server's push key; made on the first start, in a file only this user can read.

    Where the disk is full it is in memory only; `keep_key` writes it before a device gets it.
    Where the file is damaged a key in memory stands in, which no device gets: pushes fail, all else goes on.
    """
    file = settings.data / KEY_FILE
    if file.exists():
        try:
            return read_key(file)
        except Refused as error:
            log.error("no pushes are sent", why=error.what, next_step=error.next_step)
    made = key_from(settings.random_bytes(40))
    with suppress(StoreError, Refused):
        keep_key(settings, made)
    return made


def keep_key(settings: Settings, key: EllipticCurvePrivateKey) -> None:
    """Write the key, unless it is on disk already. Raises StoreError; Refused where the file there is damaged."""
    file = settings.data / KEY_FILE
    try:
        if file.exists():
            read_key(file)
        else:
            write_whole(file, key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()))
    except OSError as error:
        raise disk_error(error, settings.data) from error


def read_key(file: Path) -> EllipticCurvePrivateKey:
    """The key in a PEM file. Raises Refused when the file holds none, or a key of another curve than P-256."""
    try:
        key = load_pem_private_key(file.read_bytes(), None)
    except (OSError, ValueError, TypeError) as error:
        raise Refused(f"{file} is damaged, or cannot be read.", KEY_LOST) from error
    if not isinstance(key, EllipticCurvePrivateKey) or key.curve.name != CURVE.name:
        raise Refused(f"{file} holds no key of the curve P-256.", KEY_LOST)
    return key
