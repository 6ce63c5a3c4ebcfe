"""The workshop's own certificate authority, which each phone is told to trust.

It can certify only this machine's names (RFC 5280, name constraints), so that a phone that trusts it is not exposed to
forged certificates for other sites. Its files are never overwritten: where a wrong clock makes it look expired, another
one is made beside it, and the first one is used again as soon as the clock is right.
"""

import datetime
from collections.abc import Sequence
from itertools import count
from pathlib import Path

import structlog
from cryptography import x509
from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from benchbell.store.whole_file import write_whole

log = structlog.get_logger()

Key = ec.EllipticCurvePrivateKey

AUTHORITY_DAYS = 3650
RENEW = datetime.timedelta(days=30)
"""Authority and certificate are replaced so long before they end."""

EARLIEST = datetime.datetime(2026, 1, 1, tzinfo=datetime.UTC)
"""A clock that shows an earlier moment is wrong: this program did not exist. Authorities are valid from here on."""


LOOK = "set this machine's clock if that is not today; otherwise let each phone trust the new one"


def authority(folder: Path, names: tuple[str, ...], now: datetime.datetime) -> tuple[x509.Certificate, Key, Path]:
    """The first authority in the folder that is valid at `now`, its key and its file; made when there is none.

    Raises OSError and ValueError when the files cannot be read or written, or do not belong together.
    """
    for number in count(1):
        file = folder / ("authority.pem" if number == 1 else f"authority-{number}.pem")
        if not file.exists():
            if number > 1:
                log.warning(
                    "new authority made", why=f"the one before is not valid around {now:%Y-%m-%d}", next_step=LOOK
                )
            return *make_pair(file, names, max(now, EARLIEST)), file
        ca, key = read_pair(file)
        if now < EARLIEST or ca.not_valid_before_utc <= now < ca.not_valid_after_utc - RENEW:
            return ca, key, file
    raise AssertionError("count() does not end")


def read_pair(file: Path) -> tuple[x509.Certificate, Key]:
    """A certificate and the private key beside it.

    Raises OSError when a file is missing, ValueError when one cannot be read or they do not belong together.
    """
    try:
        certificate = x509.load_pem_x509_certificate(file.read_bytes())
    except ValueError as error:
        raise ValueError(f"{file.name} is damaged") from error
    key_file = file.with_suffix(".key")
    key = read_key(key_file)
    if key.public_key() != certificate.public_key():
        raise ValueError(f"{key_file.name} is not the key of {file.name}")
    return certificate, key


def read_key(file: Path) -> Key:
    """The private key in a file. Raises OSError when it is missing, ValueError when it is damaged or another kind."""
    try:
        key = serialization.load_pem_private_key(file.read_bytes(), None)
    except (TypeError, ValueError, UnsupportedAlgorithm) as error:
        raise ValueError(f"{file.name} is damaged") from error
    if not isinstance(key, Key):
        raise ValueError(f"{file.name} holds another kind of key")
    return key


def make_pair(file: Path, names: tuple[str, ...], now: datetime.datetime) -> tuple[x509.Certificate, Key]:
    """A new authority, written to disk. Its certificate comes last, so that a cut leaves none.

    A key that is there is used, never overwritten. Raises OSError, ValueError where its certificate was lost.
    """
    key_file = file.with_suffix(".key")
    if not key_file.exists():
        key = ec.generate_private_key(ec.SECP256R1())
        ca = make_authority(key, names, now)
        write_pair(file, ca, key)
        return ca, key
    if (file.parent / "server.pem").exists():
        raise ValueError(f"{key_file.name} is there, {file.name} is missing")
    key = read_key(key_file)
    ca = make_authority(key, names, now)
    write_whole(file, ca.public_bytes(serialization.Encoding.PEM))
    return ca, key


def write_pair(file: Path, certificate: x509.Certificate, key: Key) -> None:
    """Write a key and then its certificate, each whole and on the disk. Raises OSError.

    The key is not encrypted: the server starts without a person to type a password.
    """
    pem, pkcs8, plain = serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    write_whole(file.with_suffix(".key"), key.private_bytes(pem, pkcs8, plain))
    write_whole(file, certificate.public_bytes(pem))


def make_authority(key: Key, names: tuple[str, ...], now: datetime.datetime) -> x509.Certificate:
    """A self-signed certificate of an authority that may certify these names, and IP addresses."""
    subject = x509.Name(
        [
            x509.NameAttribute(NameOID.COMMON_NAME, f"Benchbell on {names[0]}, made {now:%Y-%m-%d}"),
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, "This workshop's own authority"),
        ]
    )
    permitted = x509.NameConstraints([x509.DNSName(name) for name in names], None)
    own_key = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    until = now + datetime.timedelta(days=AUTHORITY_DAYS)
    return signed(key, key.public_key(), subject, subject, (EARLIEST, until), 0, ((permitted, True), (own_key, False)))


def signed(
    by: Key,
    public_key: ec.EllipticCurvePublicKey,
    subject: x509.Name,
    issuer: x509.Name,
    valid: tuple[datetime.datetime, datetime.datetime],
    path_length: int | None,
    more: Sequence[tuple[x509.ExtensionType, bool]],
) -> x509.Certificate:
    """A certificate for this key.

    valid: from and until. path_length: how many authorities may stand below this one; None for no authority.
    more: further extensions, each with whether it is critical.
    """
    signs = path_length is not None
    builder = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public_key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(valid[0])
        .not_valid_after(valid[1])
        .add_extension(x509.BasicConstraints(ca=signs, path_length=path_length), critical=True)
        .add_extension(usage(signs_certificates=signs), critical=True)
    )
    for extension, is_critical in more:
        builder = builder.add_extension(extension, is_critical)
    return builder.sign(by, hashes.SHA256())


def usage(signs_certificates: bool) -> x509.KeyUsage:
    """A key-usage extension: for signing certificates, or else for signing TLS handshakes."""
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        encipher_only=False,
        decipher_only=False,
    )


def vouches_for(ca: x509.Certificate, name: str) -> bool:
    """Whether the authority may certify this name (RFC 5280, section 4.2.1.10: a permitted name or one below it)."""
    permitted = ca.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
    return any(name == base.value or name.endswith(f".{base.value}") for base in permitted)
