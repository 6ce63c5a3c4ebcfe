"""The workshop's own certificate authority, and this machine's certificate from it.

A browser allows service worker, camera and notifications only over https that it trusts. So the server makes an
authority once, which each phone is told to trust, and with it a certificate for the machine's current names and
addresses. The authority can certify only this machine's names (RFC 5280, name constraints), so that a phone that
trusts it is not exposed to forged certificates for other sites.
"""

import datetime
import os
from collections.abc import Sequence
from ipaddress import ip_address
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID
from msgspec import Struct

from benchbell.findings import Refused

AUTHORITY_DAYS = 3650
LEAF_DAYS = 365
"""Phones refuse certificates valid for more than 825 days, even from an authority they trust."""

RENEW_DAYS = 30
CLOCK_SLACK = datetime.timedelta(days=1)
"""Certificates are valid from one day ago, for phones whose clocks are behind."""

Key = ec.EllipticCurvePrivateKey


class Certified(Struct, frozen=True):
    """The server's certificate files. authority: for phones. fingerprint: its SHA-256, to compare by eye.

    left_out: names of this machine that the authority may not certify. renewed: whether the certificate is new.
    """

    certificate: Path
    key: Path
    authority: Path
    fingerprint: str
    left_out: tuple[str, ...]
    renewed: bool


def certify(folder: Path, names: Sequence[str], addresses: Sequence[str], now: datetime.datetime) -> Certified:
    """Make or renew the authority and certificate in this folder where needed; gives their files. now: in UTC.

    Raises Refused when the folder's files cannot be read or written.
    """
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        ca, ca_key = authority(folder, tuple(names), now)
        fitting = [name for name in names if vouches_for(ca, name)]
        wanted = {*fitting, *addresses}
        renewed = needs_renewal(folder / "server.pem", wanted, ca, now)
        if renewed:
            write_leaf(folder, wanted, ca, ca_key, now)
    except (OSError, ValueError) as error:
        raise Refused(
            f"The certificates in {folder} cannot be used ({error}).",
            "Move that folder away. The server then makes new ones, and each phone has to trust them again.",
        ) from error
    fingerprint = ca.fingerprint(hashes.SHA256()).hex(":").upper()
    left_out = tuple(name for name in names if name not in fitting)
    return Certified(
        folder / "server.pem", folder / "server.key", folder / "authority.pem", fingerprint, left_out, renewed
    )


def authority(folder: Path, names: tuple[str, ...], now: datetime.datetime) -> tuple[x509.Certificate, Key]:
    """The authority's certificate and key from disk; made when there is none or it expires within LEAF_DAYS.

    Raises OSError and ValueError when the files cannot be read.
    """
    file = folder / "authority.pem"
    if file.exists():
        ca = x509.load_pem_x509_certificate(file.read_bytes())
        if ca.not_valid_after_utc - now > datetime.timedelta(days=LEAF_DAYS):
            return ca, read_key(folder / "authority.key")
    key = ec.generate_private_key(ec.SECP256R1())
    ca = make_authority(key, names, now)
    write_private(folder / "authority.key", private_pem(key))
    write_private(file, ca.public_bytes(serialization.Encoding.PEM))
    return ca, key


def make_authority(key: Key, names: tuple[str, ...], now: datetime.datetime) -> x509.Certificate:
    """A self-signed certificate of an authority that may certify these names, and IP addresses."""
    subject = x509.Name(
        [
            x509.NameAttribute(NameOID.COMMON_NAME, f"Benchbell on {names[0]}, made {now:%Y-%m-%d}"),
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, "This workshop's own authority"),
        ]
    )
    permitted = [x509.DNSName(name) for name in names]
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - CLOCK_SLACK)
        .not_valid_after(now + datetime.timedelta(days=AUTHORITY_DAYS))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage(signs_certificates=True), critical=True)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )


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


def needs_renewal(file: Path, wanted: set[str], ca: x509.Certificate, now: datetime.datetime) -> bool:
    """Whether the certificate is missing, for other names, from another authority, or expires in RENEW_DAYS."""
    if not file.exists():
        return True
    leaf = x509.load_pem_x509_certificate(file.read_bytes())
    named = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    has = {*named.get_values_for_type(x509.DNSName), *map(str, named.get_values_for_type(x509.IPAddress))}
    left = leaf.not_valid_after_utc - now
    return has != wanted or leaf.issuer != ca.subject or left < datetime.timedelta(days=RENEW_DAYS)


def write_leaf(folder: Path, wanted: set[str], ca: x509.Certificate, ca_key: Key, now: datetime.datetime) -> None:
    """Write a certificate for these names and addresses, and its private key. Raises OSError."""
    key = ec.generate_private_key(ec.SECP256R1())
    issued_by = x509.AuthorityKeyIdentifier.from_issuer_public_key(ca_key.public_key())
    leaf = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Benchbell")]))
        .issuer_name(ca.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - CLOCK_SLACK)
        .not_valid_after(now + datetime.timedelta(days=LEAF_DAYS))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName([general_name(one) for one in sorted(wanted)]), critical=False)
        .add_extension(issued_by, critical=False)
        .sign(ca_key, hashes.SHA256())
    )
    write_private(folder / "server.key", private_pem(key))
    write_private(folder / "server.pem", leaf.public_bytes(serialization.Encoding.PEM))


def general_name(one: str) -> x509.GeneralName:
    """An IP address as such, anything else as a DNS name."""
    try:
        return x509.IPAddress(ip_address(one))
    except ValueError:
        return x509.DNSName(one)


def read_key(file: Path) -> Key:
    """The elliptic-curve private key in a PEM file. Raises OSError, and ValueError for any other content."""
    key = serialization.load_pem_private_key(file.read_bytes(), None)
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise ValueError(f"{file.name} holds another kind of key")
    return key


def private_pem(key: Key) -> bytes:
    """A private key as PEM, not encrypted: the server starts without a person to type a password."""
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


def write_private(file: Path, body: bytes) -> None:
    """Write a file that only this user can read; it appears whole, from a temporary file. Raises OSError."""
    part = file.with_suffix(".part")
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as opened:
        opened.write(body)
    part.replace(file)
