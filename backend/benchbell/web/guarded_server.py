"""uvicorn's server with counted connections and timed TLS handshakes."""

import asyncio
import signal
import socket
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager

import uvicorn
from uvicorn.config import STARTUP_FAILURE

from benchbell.web.acceptor import Acceptor
from benchbell.web.connections import Connections, CountedConnection

FILES = 4096
"""Open files that the process asks the system for: connections of both servers, and what it has open itself."""


class GuardedServer(uvicorn.Server):
    """A server that counts its connections."""

    def __init__(self, config: uvicorn.Config, connections: Connections) -> None:
        super().__init__(config)
        self.connections = connections

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """What uvicorn's own does with open sockets, but each connection is counted first."""
        raise_file_limit()
        await self.lifespan.startup()
        if self.lifespan.should_exit:
            sys.exit(STARTUP_FAILURE)
        acceptors = [Acceptor(one, self.protocol, self.config.ssl, self.connections) for one in sockets or ()]
        self.servers = acceptors  # type: ignore[assignment]
        self.started = True

    def protocol(self, counted: CountedConnection) -> asyncio.Protocol:
        """The protocol of a new connection."""
        made: asyncio.Protocol = self.config.http_protocol_class(
            config=self.config, server_state=self.server_state, app_state=self.lifespan.state
        )  # type: ignore[call-arg]
        made.counted = counted  # type: ignore[attr-defined]
        return made


class MainServer(GuardedServer):
    """A server that SIGINT and SIGTERM stop. uvicorn's own would raise the signal again after it stopped."""

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Handle the signals while serving, if this is the main thread."""
        if threading.current_thread() is not threading.main_thread():
            yield
            return
        before = {number: signal.signal(number, self.handle_exit) for number in (signal.SIGINT, signal.SIGTERM)}
        try:
            yield
        finally:
            for number, handler in before.items():
                signal.signal(number, handler)


class CompanionServer(GuardedServer):
    """A second server in the same process. It handles no signals: the main server stops it."""

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Handle no signals."""
        yield


def raise_file_limit() -> None:
    """Allow this process up to FILES open files, where the system lets it."""
    try:
        import resource
    except ImportError:
        return  # no Unix: there is no such limit
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    most = FILES if hard == resource.RLIM_INFINITY else min(FILES, hard)
    if soft != resource.RLIM_INFINITY and soft < most:
        resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))
