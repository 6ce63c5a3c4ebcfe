"""A push message: encrypted for one browser (RFC 8291), signed by this server (RFC 8292), ready to send (RFC 8030).

Time and chance are arguments. Who sends it, and what comes back, is alerts/push_client.py's.
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
"""How long the push service keeps the last ring of a clock for a phone that is off."""

CURVE = ec.SECP256R1()
ORDER = 0xFFFFFFFF00000000FFFFFFFFFFFFFFFFBCE6FAADA7179E84F3B9CAC2FC632551
"""The order of P-256's base point (FIPS 186-4, D.1.2.3)."""

Outcome = Literal["told", "gone", "later", "refused"]


def topic_of(alarm: Alarm) -> str:
    """One a clock: a newer ring takes the place of one that waits at the push service (RFC 8030, section 5.4)."""
    return b64url(hashlib.sha256(alarm.clock.encode()).digest()[:24])


def seconds_to_keep(until: int | None, now: int) -> int:
    """TTL: until the clock's next ring takes over, in whole seconds, a day for its last; never 0."""
    return KEPT_FOR_S if until is None else min(KEPT_FOR_S, max(1, (until - now) // 1000))


def headers_of(topic: str, seconds: int, authorization: str) -> dict[str, str]:
    """The headers of the request (RFC 8030, section 5; RFC 8188, section 2)."""
    return {
        "TTL": str(seconds),
        "Urgency": "high",
        "Topic": topic,
        "Content-Encoding": "aes128gcm",
        "Content-Type": "application/octet-stream",
        "Authorization": authorization,
    }


def key_from(chance: bytes) -> ec.EllipticCurvePrivateKey:
    """A private key of P-256 from 40 random bytes (FIPS 186-4, B.4.1: 64 bits more than the order has)."""
    return ec.derive_private_key(int.from_bytes(chance[:40]) % (ORDER - 1) + 1, CURVE)


def point_of(key: ec.EllipticCurvePrivateKey) -> bytes:
    """Its public key: 65 bytes, uncompressed."""
    return key.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)


def encrypt(text: bytes, browser: bytes, auth: bytes, own: ec.EllipticCurvePrivateKey, salt: bytes) -> bytes:
    """One aes128gcm record that only this browser can read.

    browser: its public key, 65 bytes; auth: its secret, 16 bytes. own: a key for this message alone; salt: 16 random
    bytes. Raises ValueError for a point that is not on the curve, and for more than MOST_BYTES.
    Source: RFC 8291, section 3.4, and RFC 8188, section 2.
    """
    if len(text) > MOST_BYTES:
        raise ValueError(f"The message has {len(text)} bytes; {MOST_BYTES} fit.")
    shared = own.exchange(ec.ECDH(), ec.EllipticCurvePublicKey.from_encoded_point(CURVE, browser))
    secret = derived(shared, auth, b"WebPush: info\0" + browser + point_of(own), 32)
    key = derived(secret, salt, b"Content-Encoding: aes128gcm\0", 16)
    nonce = derived(secret, salt, b"Content-Encoding: nonce\0", 12)
    header = salt + struct.pack("!LB", RECORD_BYTES, 65) + point_of(own)
    return header + AESGCM(key).encrypt(nonce, text + b"\x02", None)


def derived(secret: bytes, salt: bytes, info: bytes, length: int) -> bytes:
    """HKDF with SHA-256 (RFC 5869)."""
    return HKDF(SHA256(), length, salt, info).derive(secret)


def authorization(key: ec.EllipticCurvePrivateKey, endpoint: str, contact: str, now: int) -> str:
    """Tells the push service who sends. contact: "mailto:…" or "https://…", "" for none. Source: RFC 8292, 2 and 3."""
    claims = {"aud": origin(endpoint), "exp": now // 1000 + SIGNED_FOR_S} | ({"sub": contact} if contact else {})
    head = b64url(msgspec.json.encode({"typ": "JWT", "alg": "ES256"}))
    signed = f"{head}.{b64url(msgspec.json.encode(claims))}"
    r, s = decode_dss_signature(key.sign(signed.encode(), ec.ECDSA(SHA256(), deterministic_signing=True)))
    signature = b64url(r.to_bytes(32) + s.to_bytes(32))
    return f"vapid t={signed}.{signature}, k={b64url(point_of(key))}"


def origin(url: str) -> str:
    """The origin of an address, written as browsers do (RFC 6454, section 6.2)."""
    parts = urlsplit(url)
    host = f"[{parts.hostname}]" if ":" in (parts.hostname or "") else parts.hostname
    usual = parts.port in (None, {"https": 443, "http": 80}.get(parts.scheme))
    return f"{parts.scheme}://{host}" if usual else f"{parts.scheme}://{host}:{parts.port}"


def outcome(status: int) -> Outcome:
    """What the push service's answer means (RFC 8030, sections 5 and 7.3; RFC 6585 for 429)."""
    if 200 <= status < 300:
        return "told"
    if status in (404, 410):
        return "gone"
    return "later" if status in (408, 429) or status >= 500 else "refused"


def b64url(data: bytes) -> str:
    """Base64 for addresses, without padding (RFC 4648, section 5)."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def from_b64url(text: str) -> bytes:
    """The bytes again. Raises ValueError."""
    return base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
