"""A push service on this machine (RFC 8030), which answers as it is told and keeps what it took."""

import json
import threading
from collections import deque
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from types import SimpleNamespace

from alerts.browser import Browser, unb64
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from cryptography.hazmat.primitives.hashes import SHA256


class PushService:
    """took: messages accepted, oldest first, each with its headers and body. answers: what to say next, else 201."""

    def __init__(self):
        self.took = []
        self.asked = []
        self.answers = deque()
        self.came = threading.Condition()
        self.browser = Browser()
        service = self

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self):
                body = self.rfile.read(int(self.headers["Content-Length"]))
                status, headers = service.take(self.path, dict(self.headers.items()), body)
                self.send_response(status)
                for name, value in headers.items():
                    self.send_header(name, value)
                self.send_header("Content-Length", "0")
                self.end_headers()

            def log_message(self, *_):
                pass

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)

    def take(self, path, headers, body):
        with self.came:
            status, said = self.answers.popleft() if self.answers else (201, {})
            message = SimpleNamespace(path=path, headers=headers, body=body)
            self.asked.append(message)
            if status < 300:
                self.took.append(message)
            self.came.notify_all()
        return status, said

    @property
    def endpoint(self):
        return f"http://127.0.0.1:{self.server.server_port}/push/abc"

    def subscription(self):
        """As the page sends it."""
        return {"endpoint": self.endpoint, "expirationTime": None, "keys": self.browser.keys()}

    def wait_for(self, count, what="took", seconds=5):
        """The first so many messages, as soon as they are there."""
        with self.came:
            there = self.came.wait_for(lambda: len(getattr(self, what)) >= count, seconds)
            assert there, f"{len(getattr(self, what))} messages came, not {count}"
            return getattr(self, what)[:]


@contextmanager
def push_service():
    service = PushService()
    thread = threading.Thread(target=service.server.serve_forever, args=(0.01,), daemon=True)
    thread.start()
    try:
        yield service
    finally:
        service.server.shutdown()
        service.server.server_close()
        thread.join()


def signed_by(header):
    """The claims of an Authorization header whose signature holds; raises InvalidSignature (RFC 8292, RFC 7515)."""
    fields = dict(part.strip().split("=", 1) for part in header.removeprefix("vapid ").split(","))
    signed, _, signature = fields["t"].rpartition(".")
    r, s = (int.from_bytes(unb64(signature)[half]) for half in (slice(0, 32), slice(32, 64)))
    point = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), unb64(fields["k"]))
    point.verify(encode_dss_signature(r, s), signed.encode(), ec.ECDSA(SHA256()))
    head, claims = (json.loads(unb64(part)) for part in signed.split("."))
    assert head == {"typ": "JWT", "alg": "ES256"}
    return claims
