"""Runs the https server and the welcome page's server."""

import asyncio
import os
import socket
from pathlib import Path

import uvicorn
from litestar import Litestar
from msgspec import Struct

from benchbell.findings import Refused
from benchbell.web.address_follower import AddressFollower, https_addresses
from benchbell.web.certificate import Certified
from benchbell.web.connections import Connections, for_welcome
from benchbell.web.guarded_server import CompanionServer, MainServer
from benchbell.web.network import Announcer, Place
from benchbell.web.protocol import GuardedProtocol
from benchbell.web.welcome import welcome_app, welcome_files

SHUTDOWN_SECONDS = 2
"""Open streams of nudges never end by themselves, so they are cut after this time."""

KEEP_ALIVE_SECONDS = 75


class TlsFiles(Struct, frozen=True):
    """A certificate chain and its private key, as PEM files."""

    certificate: Path
    key: Path


def listen(host: str, port: int, option: str = "--port") -> socket.socket:
    """A socket bound to the address; to every address, IPv6 included, when `host` is "".

    option: the option that chose the port, for the error. Raises Refused when the port is taken or not allowed.
    """
    dual = not host and socket.has_dualstack_ipv6()
    family = socket.AF_INET6 if dual or ":" in host else socket.AF_INET
    try:
        return socket.create_server((host, port), family=family, dualstack_ipv6=dual, backlog=512)
    except (OSError, OverflowError) as error:
        where = f"{host or 'every address'}, port {port}"
        why = os.strerror(error.errno or 0) if isinstance(error, OSError) else "there is no such port"
        raise Refused(f"Cannot listen on {where} ({why}).", f"Choose another with {option}.") from error


def config(app: object, secured: TlsFiles | None = None, proxied: bool = False) -> uvicorn.Config:
    """uvicorn's configuration: time limits on clients, no access log, no server header.

    proxied: believe a proxy's headers about the client. Raises Refused when the certificate cannot be used.
    """
    made = uvicorn.Config(
        app,  # type: ignore[arg-type]
        http=GuardedProtocol,
        ws="none",
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=proxied,
        timeout_graceful_shutdown=SHUTDOWN_SECONDS,
        timeout_keep_alive=KEEP_ALIVE_SECONDS,
        ssl_certfile=secured.certificate if secured else None,
        ssl_keyfile=secured.key if secured else None,
    )
    try:
        made.load()
    except OSError as error:
        raise Refused(f"The certificate cannot be used ({error}).", "Give a PEM chain and its key.") from error
    return made


async def run_alone(served: uvicorn.Config, listening: socket.socket, connections: Connections) -> None:
    """Serve until stopped, without the welcome page."""
    await MainServer(served, connections).serve(sockets=[listening])


async def run_both(
    app: Litestar, data: Path, place: Place, own: Certified, listening: socket.socket, welcoming: socket.socket
) -> None:
    """Serve the page over https and the welcome page over http until stopped; meanwhile follow the addresses."""
    port = listening.getsockname()[1]
    files = welcome_files(https_addresses(place, port), own.authority, own.fingerprint)
    main_config = config(app, TlsFiles(own.certificate, own.key))
    main = MainServer(main_config, Connections())
    companion = CompanionServer(config(welcome_app(files)), for_welcome())
    announcer = Announcer(port)
    follower = AddressFollower(data, place, announcer, main_config.ssl, files)
    following = asyncio.create_task(follower.run())
    welcome = asyncio.create_task(companion.serve(sockets=[welcoming]))
    try:
        await main.serve(sockets=[listening])
    finally:
        companion.should_exit = True
        following.cancel()
        await asyncio.gather(welcome, following, announcer.stop(), return_exceptions=True)
