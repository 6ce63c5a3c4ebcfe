"""A push service on this machine (RFC 8030), which answers as it is told and keeps what it took."""

import threading
from collections import deque
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from types import SimpleNamespace

from alerts.browser import Browser


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
