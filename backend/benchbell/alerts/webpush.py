"""A push message: encrypted for one browser (RFC 8291), signed by this server (RFC 8292), ready to send (RFC 8030).

Time and random bytes are arguments. push_client.py sends it.
"""

import base64
import hashlib
import struct
from typing import Literal
from urllib.parse import urlsplit

import msgspec
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from benchbell.alerts.notice import MOST_BYTES
from benchbell.alerts.schedule import Alarm

RECORD_BYTES = 4096
SIGNED_FOR_S = 12 * 60 * 60
"""RFC 8292, section 2 allows 24 hours at most."""

KEPT_FOR_S = 24 * 60 * 60
"""How long the push service keeps a clock's last ring for a phone that is off."""

CURVE = ec.SECP256R1()
ORDER = 0xFFFFFFFF00000000FFFFFFFFFFFFFFFFBCE6FAADA7179E84F3B9CAC2FC632551
"""The order of P-256's base point (FIPS 186-4, D.1.2.3)."""

Outcome = Literal["accepted", "expired", "later", "rejected"]
"""accepted: the service has it. expired: the subscription is gone. later: try again. rejected: it will not take it."""


def topic_of(alarm: Alarm) -> str:
    """The topic of a ring's clock: at the push service a newer ring replaces a waiting one (RFC 8030, section 5.4)."""
    return b64url(hashlib.sha256(alarm.clock.encode()).digest()[:24])


def ttl_s(until: int | None, now: int) -> int:
    """How long the push service is to keep a ring, in whole seconds, at least 1.

    until: when the clock's next ring replaces it, in ms; None for its last ring, which is kept for a day.
    """
    return KEPT_FOR_S if until is None else min(KEPT_FOR_S, max(1, (until - now) // 1000))


def headers_of(topic: str, seconds: int, authorization: str) -> dict[str, str]:
    """The request's headers (RFC 8030, section 5; RFC 8188, section 2). seconds: its TTL."""
    return {
        "TTL": str(seconds),
        "Urgency": "high",
        "Topic": topic,
        "Content-Encoding": "aes128gcm",
        "Content-Type": "application/octet-stream",
        "Authorization": authorization,
    }


def key_from(random: bytes) -> ec.EllipticCurvePrivateKey:
    """A private key of P-256 from 40 random bytes (FIPS 186-4, B.4.1: 64 bits more than the order has)."""
    return ec.derive_private_key(int.from_bytes(random[:40]) % (ORDER - 1) + 1, CURVE)


def point_of(key: ec.EllipticCurvePrivateKey) -> bytes:
    """The public key of a private one: 65 bytes, an uncompressed point."""
    return key.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)


def encrypt(text: bytes, browser: bytes, auth: bytes, own: ec.EllipticCurvePrivateKey, salt: bytes) -> bytes:
    """One aes128gcm record that only this browser can read.

    browser: its public key, 65 bytes; auth: its secret, 16 bytes. own: a key for this message only; salt: 16 random
    bytes. Raises ValueError for a point that is not on the curve, and for more than MOST_BYTES.
    Source: RFC 8291, section 3.4, and RFC 8188, section 2.
    """
    if len(text) > MOST_BYTES:
        raise ValueError(f"The message has {len(text)} bytes; {MOST_BYTES} fit.")
    shared = own.exchange(ec.ECDH(), ec.EllipticCurvePublicKey.from_encoded_point(CURVE, browser))
    secret = hkdf(shared, auth, b"WebPush: info\0" + browser + point_of(own), 32)
    key = hkdf(secret, salt, b"Content-Encoding: aes128gcm\0", 16)
    nonce = hkdf(secret, salt, b"Content-Encoding: nonce\0", 12)
    header = salt + struct.pack("!LB", RECORD_BYTES, 65) + point_of(own)
    return header + AESGCM(key).encrypt(nonce, text + b"\x02", None)


def hkdf(secret: bytes, salt: bytes, info: bytes, length: int) -> bytes:
    """`length` bytes from a secret by HKDF with SHA-256 (RFC 5869)."""
    return HKDF(SHA256(), length, salt, info).derive(secret)


def authorization(key: ec.EllipticCurvePrivateKey, endpoint: str, contact: str, now: int) -> str:
    """The Authorization header that tells the push service who sends.

    endpoint: the subscription's address. contact: "mailto:…" or "https://…", "" for none. now: ms.
    Source: RFC 8292, sections 2 and 3.
    """
    claims = {"aud": origin(endpoint), "exp": now // 1000 + SIGNED_FOR_S} | ({"sub": contact} if contact else {})
    head = b64url(msgspec.json.encode({"typ": "JWT", "alg": "ES256"}))
    signed = f"{head}.{b64url(msgspec.json.encode(claims))}"
    r, s = decode_dss_signature(key.sign(signed.encode(), ec.ECDSA(SHA256(), deterministic_signing=True)))
    signature = b64url(r.to_bytes(32) + s.to_bytes(32))
    return f"vapid t={signed}.{signature}, k={b64url(point_of(key))}"


def origin(url: str) -> str:
    """The origin of an address, in the form browsers use (RFC 6454, section 6.2)."""
    parts = urlsplit(url)
    host = f"[{parts.hostname}]" if ":" in (parts.hostname or "") else parts.hostname
    usual = parts.port in (None, {"https": 443, "http": 80}.get(parts.scheme))
    return f"{parts.scheme}://{host}" if usual else f"{parts.scheme}://{host}:{parts.port}"


def outcome(status: int) -> Outcome:
    """The outcome for an HTTP status of the push service (RFC 8030, sections 5 and 7.3; RFC 6585 for 429)."""
    if 200 <= status < 300:
        return "accepted"
    if status in (404, 410):
        return "expired"
    return "later" if status in (408, 429) or status >= 500 else "rejected"


def b64url(data: bytes) -> str:
    """Base64 with the URL alphabet, without padding (RFC 4648, section 5)."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def from_b64url(text: str) -> bytes:
    """The bytes of such a text. Raises ValueError when it is not base64."""
    return base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
