"""`benchbell serve`: the shop's server."""

import argparse
import os
import socket
from pathlib import Path
from typing import Any

from benchbell.findings import Refused

SHUTDOWN_SECONDS = 2
"""Open streams would otherwise hold the server up without end."""


def add_to(subparsers: Any) -> None:
    """Add the command."""
    serve = subparsers.add_parser("serve", help="run the shop's server")
    serve.add_argument("--data", type=Path, default=data_folder(), help="folder of the records (%(default)s)")
    serve.add_argument("--recipes", type=Path, action="append", default=[], help="a further folder of recipes")
    serve.add_argument("--host", default="", help="address to listen on; all of them when left out")
    serve.add_argument("--port", type=int, default=8443, help="port to listen on (%(default)s)")
    serve.add_argument("--local", action="store_true", help="for this machine alone: no certificate, no pairing")
    serve.add_argument("--demo", action="store_true", help="start a build to look at, where there is none")
    serve.set_defaults(run=run_serve)


def data_folder() -> Path:
    """Where records are kept unless told: BENCHBELL_DATA, else the XDG data folder."""
    home = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    return Path(os.environ.get("BENCHBELL_DATA") or home / "benchbell")


def run_serve(args: argparse.Namespace) -> int:
    """Serve until stopped. Raises Refused when it cannot begin."""
    import uvicorn

    from benchbell.store.database import prepare
    from benchbell.web.app import create_app
    from benchbell.web.settings import Settings, inside_package, shipped_recipes

    prepare(args.data)
    settings = Settings(args.data, (*args.recipes, shipped_recipes()), inside_package("page"), local=args.local)
    app = create_app(settings)
    listening = listen("127.0.0.1" if args.local else args.host, args.port)
    config = uvicorn.Config(
        app,
        log_level="warning",
        timeout_graceful_shutdown=SHUTDOWN_SECONDS,
        timeout_keep_alive=75,
        server_header=False,
        access_log=False,
    )
    print(f"Benchbell: http://127.0.0.1:{args.port}/", flush=True)
    uvicorn.Server(config).run(sockets=[listening])
    return 0


def listen(host: str, port: int) -> socket.socket:
    """A socket bound to the address. Raises Refused when it is taken or not ours."""
    try:
        return socket.create_server((host, port), reuse_port=False)
    except OSError as error:
        where = f"{host or 'every address'}, port {port}"
        raise Refused(f"Cannot listen on {where} ({error.strerror}).", "Choose another with --port.") from error
