"""The browser's half of web push, written from RFC 8291 and RFC 8188 alone, with nothing of the server's."""

import hashlib
import hmac
import os
from base64 import urlsafe_b64decode, urlsafe_b64encode

from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat


def unb64(text):
    return urlsafe_b64decode(text + "=" * (-len(text) % 4))


def b64(data):
    return urlsafe_b64encode(data).rstrip(b"=").decode()


def hkdf(salt, secret, info, length):
    """RFC 5869 for lengths up to one block: extract, then the first block of expand."""
    key = hmac.digest(salt, secret, hashlib.sha256)
    return hmac.digest(key, info + b"\x01", hashlib.sha256)[:length]


class Browser:
    """One subscription's secrets, and what it makes of a message's body."""

    def __init__(self, private=None, auth=None):
        self.key = ec.derive_private_key(int.from_bytes(private or os.urandom(31)), ec.SECP256R1())
        self.auth = auth or os.urandom(16)
        self.public = self.key.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)

    def keys(self):
        """As `PushSubscription.toJSON()` gives them."""
        return {"p256dh": b64(self.public), "auth": b64(self.auth)}

    def read(self, body):
        """The text of one aes128gcm record: header of salt, record size, key id (RFC 8188, 2.1), then the cipher."""
        salt, size, length = body[:16], int.from_bytes(body[16:20]), body[20]
        sender, cipher = body[21 : 21 + length], body[21 + length :]
        assert len(cipher) <= size, "more than one record"
        point = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), sender)
        secret = self.key.exchange(ec.ECDH(), point)
        ikm = hkdf(self.auth, secret, b"WebPush: info\0" + self.public + sender, 32)
        key = hkdf(salt, ikm, b"Content-Encoding: aes128gcm\0", 16)
        nonce = hkdf(salt, ikm, b"Content-Encoding: nonce\0", 12)
        text = AESGCM(key).decrypt(nonce, cipher, None).rstrip(b"\0")
        assert text[-1:] == b"\x02", "the last record ends in 0x02 (RFC 8188, 2)"
        return text[:-1]
