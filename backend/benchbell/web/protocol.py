"""One connection to a client, with limits on what uvicorn's protocol takes without any.

Headers are limited in bytes, lines and time. After an answer that did not wait for the request's body, the rest of the
body is limited in bytes and time. A client that does not read its answer is dropped.
"""

import asyncio

from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol

from benchbell.web.connections import CountedConnection
from benchbell.web.headers import plain_response
from benchbell.web.messages import RefusalDetail

MOST_HEAD_BYTES = 64_000
"""Of a request line with its headers; also of what frames a body in chunks, and of the fields behind that."""

MOST_HEAD_LINES = 100
MOST_PIPELINED = 8
"""Requests sent ahead on one connection. No browser does that."""

HEADER_SECONDS = 15
"""From the connection, or a request's first byte, to the end of its headers."""

LINGER_SECONDS = 5
"""After an answer that did not wait for the body. Closing at once would often destroy the answer on its way."""

GOODBYE_SECONDS = 0.5
"""For a client to end an idle TLS connection when the server stops."""

LINGER_BYTES = 16_000_000
"""Read and dropped meanwhile: more than the largest body that any address accepts."""

STALL_SECONDS = 60
"""Without one byte of an answer read."""

TOO_LARGE = RefusalDetail("The request's headers are larger than 64 kB.", "Delete this site's cookies.", "too-large")
GARBLED = RefusalDetail("This is not an HTTP request.", "Open Benchbell in a browser.", "unreadable")


class HeadTooLarge(Exception):
    """The request has too many headers."""


class GuardedProtocol(HttpToolsProtocol):
    """uvicorn's protocol with limits. counted: this connection among all; None where they are not counted."""

    counted: CountedConnection | None = None
    timer: asyncio.TimerHandle | None = None
    stall_timer: asyncio.TimerHandle | None = None
    receiving = False
    in_head = False
    refused = False
    head_bytes = 0
    head_lines = 0
    framing_bytes = 0
    dropped_bytes = 0

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """A client connected."""
        super().connection_made(transport)
        if self.counted is not None:
            self.counted.close = transport.abort
        self.start_timer(HEADER_SECONDS)

    def connection_lost(self, exc: Exception | None) -> None:
        """The connection ended."""
        self.stop_timer()
        self.resume_writing()
        if self.counted is not None:
            self.counted.release()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Bytes arrived. Those that are no body are counted here, because the parser keeps a header until its end."""
        if self.refused:
            return
        self.framing_bytes += len(data)
        super().data_received(data)
        if self.framing_bytes > MOST_HEAD_BYTES:
            self.refuse(431, TOO_LARGE)
        idle = not self.receiving and (self.cycle is None or self.cycle.response_complete)
        if idle and self.timer is None and self.timeout_keep_alive_task is None:
            self.start_timer(self.timeout_keep_alive)

    def on_message_begin(self) -> None:
        """The first byte of a request arrived."""
        if len(self.pipeline) >= MOST_PIPELINED:
            raise HeadTooLarge
        super().on_message_begin()
        if self.counted is not None:
            self.scope["state"]["counted"] = self.counted
        self.receiving = self.in_head = True
        self.head_bytes = self.head_lines = self.dropped_bytes = 0
        self.start_timer(HEADER_SECONDS)

    def on_url(self, url: bytes) -> None:
        """A piece of the address arrived."""
        self.count_head(len(url), 0)
        super().on_url(url)

    def on_header(self, name: bytes, value: bytes) -> None:
        """A header arrived, or a field behind a body in chunks."""
        self.count_head(len(name) + len(value) + len(": \r\n"), 1)
        super().on_header(name, value)

    def count_head(self, length: int, lines: int) -> None:
        """Raises HeadTooLarge, which stops the parser, when the headers get too large."""
        self.head_bytes += length
        self.head_lines += lines
        if self.is_head_too_large():
            raise HeadTooLarge

    def on_headers_complete(self) -> None:
        """All headers arrived."""
        self.in_head = False
        self.stop_timer()
        super().on_headers_complete()

    def on_body(self, body: bytes) -> None:
        """A piece of the body arrived. When its request has its answer, it is dropped."""
        self.framing_bytes -= len(body)
        if self.cycle.response_complete:
            self.dropped_bytes += len(body)
            if self.dropped_bytes > LINGER_BYTES:
                self.flow.pause_reading()
        super().on_body(body)

    def on_message_complete(self) -> None:
        """The whole request arrived."""
        self.receiving = False
        self.framing_bytes = 0
        if self.cycle.response_complete:
            self.stop_timer()
        super().on_message_complete()

    def on_response_complete(self) -> None:
        """The whole answer was sent."""
        super().on_response_complete()
        if self.receiving and not self.in_head and self.cycle.response_complete:
            self.start_timer(LINGER_SECONDS)

    def send_400_response(self, msg: str) -> None:
        """Refuse what the parser stopped at."""
        self.refuse(431, TOO_LARGE) if self.is_head_too_large() else self.refuse(400, GARBLED)

    def is_head_too_large(self) -> bool:
        """Whether the headers are too large or too many."""
        return self.head_bytes > MOST_HEAD_BYTES or self.head_lines > MOST_HEAD_LINES

    def refuse(self, status: int, detail: RefusalDetail) -> None:
        """Answer in the application's place, read nothing more, and close. While another answer is sent, only close."""
        if self.refused or self.transport.is_closing():
            return
        self.refused = True
        if self.cycle is not None and not self.cycle.response_complete:
            self.transport.abort()
            return
        self.flow.pause_reading()
        self.transport.write(plain_response(status, detail))
        self.start_timer(LINGER_SECONDS)

    def shutdown(self) -> None:
        """The server stops. An idle client that does not close its side holds that up for GOODBYE_SECONDS at most."""
        super().shutdown()
        if self.transport.is_closing() and not self.transport.get_write_buffer_size():
            self.start_timer(GOODBYE_SECONDS)

    def pause_writing(self) -> None:
        """The client reads more slowly than the answer is made."""
        super().pause_writing()
        self.watch_stall()

    def resume_writing(self) -> None:
        """The client has read nearly all."""
        super().resume_writing()
        if self.stall_timer is not None:
            self.stall_timer.cancel()
            self.stall_timer = None

    def watch_stall(self) -> None:
        """Drop the client when it reads nothing within STALL_SECONDS."""
        unread = self.transport.get_write_buffer_size()

        def look() -> None:
            if self.transport.get_write_buffer_size() >= unread:
                self.transport.abort()
            else:
                self.watch_stall()

        self.stall_timer = self.loop.call_later(STALL_SECONDS, look)

    def start_timer(self, seconds: float) -> None:
        """Drop the connection after so long, unless the timer is stopped or started anew."""
        self.stop_timer()
        self.timer = self.loop.call_later(seconds, self.transport.abort)

    def stop_timer(self) -> None:
        """Let the connection stay open."""
        if self.timer is not None:
            self.timer.cancel()
            self.timer = None
