"""This machine's certificate, from the workshop's own authority.

A browser allows service worker, camera and notifications only over https that it trusts. So the server makes an
authority once (web/authority.py), which each phone is told to trust, and with it a certificate for the machine's
current names and addresses.
"""

import datetime
from collections.abc import Sequence
from ipaddress import ip_address
from pathlib import Path

import structlog
from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID
from msgspec import Struct
from msgspec.structs import replace

from benchbell.findings import Refused
from benchbell.store.errors import NO_ROOM, disk_error
from benchbell.web.authority import EARLIEST, RENEW, Key, authority, read_pair, signed, vouches_for, write_pair

log = structlog.get_logger()

LEAF_DAYS = 365
"""Phones refuse certificates valid for more than 825 days, even from an authority they trust."""

CLOCK_SLACK = datetime.timedelta(days=1)
"""Certificates are valid from one day ago, for phones whose clocks are behind."""


class Certified(Struct, frozen=True):
    """The server's certificate files. authority: for phones. fingerprint: its SHA-256, to compare by eye.

    left_out: names of this machine that the authority may not certify. renewed: whether the certificate is new.
    failure: why no further one can be made, or None.
    """

    certificate: Path
    key: Path
    authority: Path
    fingerprint: str
    left_out: tuple[str, ...]
    renewed: bool
    failure: Refused | None = None


def certify(folder: Path, names: Sequence[str], addresses: Sequence[str], now: datetime.datetime) -> Certified:
    """Make the authority and make or renew the certificate in this folder where needed; gives their files.

    now: in UTC. Raises Refused when the folder's files cannot be read or written.
    """
    try:
        ca, ca_key, file = authority(folder, tuple(names), now)
        fitting = [name for name in names if vouches_for(ca, name)]
        renewed = renew_leaf(folder / "server.pem", {*fitting, *addresses}, ca, ca_key, now)
    except (OSError, ValueError, x509.ExtensionNotFound) as error:
        if isinstance(error, OSError) and error.errno in NO_ROOM:
            raise disk_error(error, folder) from error
        why = f"{Path(error.filename).name}: {error.strerror}" if isinstance(error, OSError) else str(error)
        refused = Refused(
            f"The certificates in {folder} cannot be used ({why}).",
            "Restore that folder from a backup. Or move it away: the server then makes a new authority, and each phone "
            "has to trust it again.",
        )
        if usable := without_authority_key(folder, names, now):
            return replace(usable, failure=refused)
        raise refused from error
    fingerprint = fingerprint_of(ca)
    left_out = tuple(name for name in names if name not in fitting)
    return Certified(folder / "server.pem", folder / "server.key", file, fingerprint, left_out, renewed)


def fingerprint_of(ca: x509.Certificate) -> str:
    """An authority's SHA-256, to compare by eye."""
    return ca.fingerprint(hashes.SHA256()).hex(":").upper()


def without_authority_key(folder: Path, names: Sequence[str], now: datetime.datetime) -> Certified | None:
    """The server's certificate that is there, where it and the authority's are good at `now`; None otherwise.

    With the authority's key lost none can be made, but the last one serves until it ends.
    """
    file = folder / "authority.pem"
    leaf = leaf_in(folder / "server.pem")
    try:
        ca = x509.load_pem_x509_certificate(file.read_bytes())
    except (OSError, ValueError):
        return None
    if leaf is None or not is_from(leaf, ca) or not leaf.not_valid_before_utc <= now < leaf.not_valid_after_utc:
        return None
    left_out = tuple(name for name in names if name not in names_of(leaf))
    fingerprint = fingerprint_of(ca)
    return Certified(folder / "server.pem", folder / "server.key", file, fingerprint, left_out, False)


def renew_leaf(file: Path, wanted: set[str], ca: x509.Certificate, ca_key: Key, now: datetime.datetime) -> bool:
    """Make a new certificate where the one in the file will not do; gives whether it was made.

    Where it cannot be written, the one that is there is used on. Raises OSError when there is none.
    """
    leaf = leaf_in(file)
    if leaf is not None and not needs_renewal(leaf, wanted, ca, now):
        return False
    try:
        write_leaf(file, wanted, ca, ca_key, max(now, EARLIEST))
        return True
    except OSError as error:
        if leaf is None or leaf_in(file) is None:
            raise
        log.warning("certificate not renewed", why=error.strerror, next_step="make room on the disk")
        return False


def leaf_in(file: Path) -> x509.Certificate | None:
    """The certificate in the file; None when it or its key is missing or damaged, or they do not belong together."""
    try:
        return read_pair(file)[0]
    except (OSError, ValueError):
        return None


def needs_renewal(leaf: x509.Certificate, wanted: set[str], ca: x509.Certificate, now: datetime.datetime) -> bool:
    """Whether the certificate is for other names, by another authority's key, expires soon or is not valid yet.

    A clock that is certainly wrong says nothing about its time.
    """
    if not is_from(leaf, ca) or names_of(leaf) != wanted:
        return True
    return now >= EARLIEST and not leaf.not_valid_before_utc <= now < leaf.not_valid_after_utc - RENEW


def is_from(leaf: x509.Certificate, ca: x509.Certificate) -> bool:
    """Whether this authority's key signed the certificate."""
    try:
        leaf.verify_directly_issued_by(ca)
    except (ValueError, TypeError, InvalidSignature):
        return False
    return True


def names_of(leaf: x509.Certificate) -> set[str]:
    """The names and addresses that a certificate is for."""
    try:
        named = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except x509.ExtensionNotFound:
        return set()
    return {*named.get_values_for_type(x509.DNSName), *map(str, named.get_values_for_type(x509.IPAddress))}


def write_leaf(file: Path, wanted: set[str], ca: x509.Certificate, ca_key: Key, now: datetime.datetime) -> None:
    """Write a certificate for these names and addresses, and its private key. Raises OSError."""
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Benchbell")])
    until = min(now + datetime.timedelta(days=LEAF_DAYS), ca.not_valid_after_utc)
    more = (
        x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]),
        x509.SubjectAlternativeName([general_name(one) for one in sorted(wanted)]),
        x509.AuthorityKeyIdentifier.from_issuer_public_key(ca_key.public_key()),
    )
    leaf = signed(
        ca_key,
        key.public_key(),
        subject,
        ca.subject,
        (now - CLOCK_SLACK, until),
        None,
        [(extension, False) for extension in more],
    )
    write_pair(file, leaf, key)


def general_name(one: str) -> x509.GeneralName:
    """An IP address as such, anything else as a DNS name."""
    try:
        return x509.IPAddress(ip_address(one))
    except ValueError:
        return x509.DNSName(one)
