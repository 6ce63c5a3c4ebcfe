"""Running the servers: the page over https, the welcome page beside it, and an eye on names and addresses."""

import asyncio
import datetime
import os
import signal
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import structlog
import uvicorn
from litestar import Litestar
from msgspec import Struct

from benchbell.findings import Refused
from benchbell.web.certificate import Certified, certify
from benchbell.web.network import Announcer, Place, place_now
from benchbell.web.timeouts import Patient
from benchbell.web.welcome import welcome_app, welcome_files

SHUTDOWN_SECONDS = 2
"""Open streams would otherwise hold the server up without end."""

KEEP_ALIVE_SECONDS = 75
MOST_CONNECTIONS = 1000
LOOK_SECONDS = 60
"""How soon a new address of this machine is in the certificate."""

log = structlog.get_logger()


class Secured(Struct, frozen=True):
    """The files that make it https."""

    certificate: Path
    key: Path


class Main(uvicorn.Server):
    """Stops in good order when told to, and then simply ends; the library would raise the signal once more."""

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Hear the signals to stop while serving."""
        if threading.current_thread() is not threading.main_thread():
            yield
            return
        before = {number: signal.signal(number, self.handle_exit) for number in (signal.SIGINT, signal.SIGTERM)}
        try:
            yield
        finally:
            for number, handler in before.items():
                signal.signal(number, handler)


class Beside(uvicorn.Server):
    """A second server in the same program: the first one hears the signals and stops it."""

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Leave them to the first."""
        yield


def listen(host: str, port: int, option: str = "--port") -> socket.socket:
    """A socket bound to the address; every address, IPv6 too where there is any, when `host` is "".

    Raises Refused when the port is taken or not ours to take.
    """
    dual = not host and socket.has_dualstack_ipv6()
    family = socket.AF_INET6 if dual or ":" in host else socket.AF_INET
    try:
        return socket.create_server((host, port), family=family, dualstack_ipv6=dual, backlog=512)
    except (OSError, OverflowError) as error:
        where = f"{host or 'every address'}, port {port}"
        why = os.strerror(error.errno or 0) if isinstance(error, OSError) else "there is no such port"
        raise Refused(f"Cannot listen on {where} ({why}).", f"Choose another with {option}.") from error


def config(app: object, secured: Secured | None = None, proxied: bool = False) -> uvicorn.Config:
    """How to serve: patient with nobody, silent about itself."""
    made = uvicorn.Config(
        app,  # type: ignore[arg-type]
        http=Patient,
        ws="none",
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=proxied,
        timeout_graceful_shutdown=SHUTDOWN_SECONDS,
        timeout_keep_alive=KEEP_ALIVE_SECONDS,
        limit_concurrency=MOST_CONNECTIONS,
        ssl_certfile=secured.certificate if secured else None,
        ssl_keyfile=secured.key if secured else None,
    )
    try:
        made.load()
    except OSError as error:
        raise Refused(f"The certificate cannot be used ({error}).", "Give a PEM chain and its key.") from error
    return made


def own_certificate(data: Path, place: Place) -> Certified:
    """The workshop's own, as of now. Raises Refused."""
    now = datetime.datetime.now(datetime.UTC)
    return certify(data / "certificate", place.names, place.addresses, now)


async def run_alone(served: uvicorn.Config, listening: socket.socket) -> None:
    """Serve until stopped: for this machine alone, behind a proxy, or with a certificate from elsewhere."""
    await Main(served).serve(sockets=[listening])


async def run_both(
    app: Litestar, data: Path, place: Place, own: Certified, listening: socket.socket, welcoming: socket.socket
) -> None:
    """Serve the page over https and the welcome page without, until stopped; renew and announce meanwhile."""
    port = listening.getsockname()[1]
    files = welcome_files(https_addresses(place, port), own.authority, own.fingerprint)
    main_config = config(app, Secured(own.certificate, own.key))
    main, beside = Main(main_config), Beside(config(welcome_app(files)))
    announcer = Announcer(port)

    async def look_out() -> None:
        known = place
        await announce(announcer, known)
        while True:
            await asyncio.sleep(LOOK_SECONDS)
            with suppress(Refused):
                current = place_now()
                fresh = await asyncio.to_thread(own_certificate, data, current)
                if fresh.renewed and main_config.ssl is not None:
                    main_config.ssl.load_cert_chain(fresh.certificate, fresh.key)
                    log.info("certificate renewed", addresses=", ".join(current.addresses))
                if current != known:
                    known = current
                    files.update(welcome_files(https_addresses(known, port), fresh.authority, fresh.fingerprint))
                    await announce(announcer, known)

    watching = asyncio.create_task(look_out())
    welcome = asyncio.create_task(beside.serve(sockets=[welcoming]))
    try:
        await main.serve(sockets=[listening])
    finally:
        beside.should_exit = True
        watching.cancel()
        await asyncio.gather(welcome, watching, announcer.stop(), return_exceptions=True)


async def announce(announcer: Announcer, place: Place) -> None:
    """Tell the network; where that fails, say so and go on: addresses by number still work."""
    trouble = await announcer.tell(place)
    if trouble:
        log.warning("name not announced", name=place.name, why=trouble, next_step="use the address by number")


def https_addresses(place: Place, port: int) -> tuple[str, ...]:
    """Where the page is, the best first: by name, then by number; none that only this machine reaches."""
    numbers = [one for one in place.addresses if not one.startswith(("127.", "::1", "fe80:"))]
    hosts = [place.name, *(f"[{one}]" if ":" in one else one for one in numbers or place.addresses)]
    return tuple(f"https://{host}{'' if port == 443 else f':{port}'}" for host in hosts)
