"""Accepts connections. asyncio's own server would count none before its TLS handshake, and wait a minute for that."""

import asyncio
import socket
import ssl
from collections.abc import Callable
from functools import partial
from typing import Any

import structlog

from benchbell.web.client_address import address_group
from benchbell.web.connections import Connections, CountedConnection

HANDSHAKE_SECONDS = 10
"""For a whole TLS handshake: two round trips, also where the signal is weak."""

SHUTDOWN_SECONDS = 5
"""For the client to confirm that a TLS connection ends. What it sends meanwhile is dropped."""

RETRY_SECONDS = 1
"""After accepting failed, mostly because the system has no file descriptor left."""

log = structlog.get_logger()


class Acceptor:
    """Accepts from one listening socket; looks like an asyncio server to uvicorn.

    make_protocol: the protocol of a new connection. tls: None for plain http.
    """

    def __init__(
        self,
        listening: socket.socket,
        make_protocol: Callable[[CountedConnection], asyncio.Protocol],
        tls: ssl.SSLContext | None,
        connections: Connections,
    ) -> None:
        self.listening = listening
        self.make_protocol = make_protocol
        self.tls = tls
        self.connections = connections
        self.starting: set[asyncio.Task[None]] = set()
        listening.setblocking(False)
        self.accepting = asyncio.create_task(self.accept())

    async def accept(self) -> None:
        """Accept connections until cancelled."""
        loop = asyncio.get_running_loop()
        while True:
            try:
                connection, address = await loop.sock_accept(self.listening)
            except OSError as error:
                log.warning("cannot accept connections", why=str(error), next_step=f"trying again in {RETRY_SECONDS} s")
                await asyncio.sleep(RETRY_SECONDS)
            else:
                self.start(connection, address)

    def start(self, connection: socket.socket, address: Any) -> None:
        """Count a new connection and begin its handshake. address: as `socket.accept` gives it."""
        connection.setblocking(False)
        counted = self.connections.open(address_group(str(address[0])), connection.close)
        task = asyncio.create_task(self.connect(connection, counted))
        counted.close = task.cancel
        self.starting.add(task)
        task.add_done_callback(partial(self.started, connection, counted))

    async def connect(self, connection: socket.socket, counted: CountedConnection) -> None:
        """Make the TLS handshake, if any, and hand the connection to its protocol."""
        loop = asyncio.get_running_loop()
        begin, end = (HANDSHAKE_SECONDS, SHUTDOWN_SECONDS) if self.tls else (None, None)
        try:
            await loop.connect_accepted_socket(
                lambda: self.make_protocol(counted),
                connection,
                ssl=self.tls,
                ssl_handshake_timeout=begin,
                ssl_shutdown_timeout=end,
            )
        except OSError:
            counted.release()  # the client went away, took too long, or spoke no TLS

    def started(self, connection: socket.socket, counted: CountedConnection, task: asyncio.Task[None]) -> None:
        """A connection has its protocol, or gave way to another one before it had."""
        self.starting.discard(task)
        if task.cancelled():
            counted.release()
            connection.close()

    def close(self) -> None:
        """Accept no more, and end handshakes that are not finished."""
        for task in (self.accepting, *self.starting):
            task.cancel()

    async def wait_closed(self) -> None:
        """Wait until that is done."""
        await asyncio.gather(self.accepting, *self.starting, return_exceptions=True)
