"""The key that this server signs its pushes with (RFC 8292): a file in the data folder, made on the first start."""

from pathlib import Path

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
from benchbell.store.photos import write_whole

KEY_FILE = "push.key"
"""In the data folder. Without it every phone must subscribe again."""

KEY_LOST = "Restore it from a backup, or move it away; then each phone has to switch notifications off and on again."


def push_key_of(settings: Settings) -> EllipticCurvePrivateKey:
    """The server's push key; made on the first start, in a file only this user can read.

    Raises Refused when the file is there and cannot be read.
    """
    file = settings.data / KEY_FILE
    if not file.exists():
        made = key_from(settings.random_bytes(40))
        write_whole(file, made.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()))
    return read_key(file)


def read_key(file: Path) -> EllipticCurvePrivateKey:
    """The key in a PEM file. Raises Refused when the file holds none, or a key of another curve than P-256."""
    try:
        key = load_pem_private_key(file.read_bytes(), None)
    except (OSError, ValueError, TypeError) as error:
        raise Refused(f"{file} cannot be read ({error}).", KEY_LOST) from error
    if not isinstance(key, EllipticCurvePrivateKey) or key.curve.name != CURVE.name:
        raise Refused(f"{file} holds no key of the curve P-256.", KEY_LOST)
    return key
