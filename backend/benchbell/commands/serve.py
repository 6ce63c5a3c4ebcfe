"""`benchbell serve`: the shop's server."""

import argparse
import os
import sys
from pathlib import Path
from typing import Any

from benchbell.findings import Refused

ADDRESS_FILE = "address"
"""In the data folder: where the server is, for `benchbell pair` and for labels."""


def add_to(subparsers: Any) -> None:
    """Add the command."""
    serve = subparsers.add_parser("serve", help="run the shop's server")
    serve.add_argument("--data", type=Path, default=data_folder(), help="folder of the records (%(default)s)")
    serve.add_argument("--recipes", type=Path, action="append", default=[], help="a further folder of recipes")
    serve.add_argument("--host", default="", help="address to listen on; all of them when left out")
    serve.add_argument("--port", type=int, default=8443, help="port to listen on (%(default)s)")
    serve.add_argument("--welcome-port", type=int, default=8080, help="port of the welcome page (%(default)s)")
    serve.add_argument("--local", action="store_true", help="for this machine alone: no certificate, no pairing")
    serve.add_argument("--demo", action="store_true", help="start a build to look at, where there is none")
    serve.add_argument("--cert", type=Path, help="certificate chain from elsewhere, with --key")
    serve.add_argument("--key", type=Path, help="its private key")
    serve.add_argument(
        "--proxied", action="store_true", help="plain http behind a proxy on this machine that does https"
    )
    serve.add_argument("--address", default="", help="what phones open, such as https://bench.example; else worked out")
    serve.add_argument(
        "--bell", default="", help="a command to run when a clock is due; BENCHBELL_TITLE tells it which"
    )
    serve.add_argument("--contact", default="", help="mailto:… of yours, which some push services insist on")
    serve.add_argument(
        "--prove", type=float, default=0.0, metavar="SECONDS", help="think on about each plan, with benchbell[optimal]"
    )
    serve.set_defaults(run=run_serve)


def data_folder() -> Path:
    """Where records are kept unless told: BENCHBELL_DATA, else the XDG data folder."""
    home = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    return Path(os.environ.get("BENCHBELL_DATA") or home / "benchbell")


def run_serve(args: argparse.Namespace) -> int:
    """Serve until stopped. Raises Refused when it cannot begin."""
    from benchbell.alerts.bell import command_of
    from benchbell.settings import Settings, inside_package, shipped_recipes
    from benchbell.store.database import prepare
    from benchbell.web.app import create_app
    from benchbell.web.terminal import configure_logging

    if (args.cert is None) != (args.key is None):
        raise Refused("A certificate and its key belong together.", "Give both --cert and --key.")
    if args.contact and not args.contact.startswith(("mailto:", "https://")):
        raise Refused(f"The contact is {args.contact!r}.", "Give it as mailto:you@your.domain or https://your.domain.")
    bell = command_of(args.bell) if args.bell else ()
    configure_logging()
    prepare(args.data)
    recipes = (*args.recipes, shipped_recipes())
    settings = Settings(
        args.data,
        recipes,
        inside_package("page"),
        local=args.local,
        bell=bell,
        contact=args.contact,
        prove_s=args.prove,
    )
    app = create_app(settings)
    if args.demo:
        from benchbell.commands.demo import begin_demo

        begin_demo(settings)
    start(args, app)
    return 0


def start(args: argparse.Namespace, app: Any) -> None:
    """Listen, say where, and serve."""
    if args.local or args.proxied:
        start_here(args, app)
    elif args.cert:
        start_with_certificate(args, app)
    else:
        start_for_the_shop(args, app)


def start_here(args: argparse.Namespace, app: Any) -> None:
    """On this machine alone, or behind a proxy on it."""
    from benchbell.web.servers import config, listen, run_alone

    listening = listen("127.0.0.1", args.port)
    say_where(args, (args.address or f"http://127.0.0.1:{args.port}",))
    run_loop(run_alone(config(app, proxied=args.proxied), listening))


def start_with_certificate(args: argparse.Namespace, app: Any) -> None:
    """With a certificate from elsewhere, which phones trust already."""
    from benchbell.web.network import place_now
    from benchbell.web.servers import TlsFiles, config, https_addresses, listen, run_alone

    served = config(app, TlsFiles(args.cert, args.key))
    listening = listen(args.host, args.port)
    say_where(args, (args.address,) if args.address else https_addresses(place_now(), args.port))
    run_loop(run_alone(served, listening))


def start_for_the_shop(args: argparse.Namespace, app: Any) -> None:
    """With the workshop's own authority, and the welcome page that hands it over."""
    from benchbell.web.network import place_now
    from benchbell.web.servers import https_addresses, listen, own_certificate, run_both

    place = place_now()
    listening, welcoming = listen(args.host, args.port), listen(args.host, args.welcome_port, "--welcome-port")
    own = own_certificate(args.data, place)
    for name in own.left_out:
        print(f"This machine is now called {name}, which its authority was not made for; use an address by number.")
    new_phone = f"http://{number_in(place.addresses)}:{args.welcome_port}/"
    more = (
        f"New phone: open {new_phone} on it and do what it says.",
        f"Fingerprint of this workshop's authority (SHA-256): {own.fingerprint}",
    )
    say_where(args, ((args.address,) if args.address else ()) + https_addresses(place, args.port), more)
    run_loop(run_both(app, args.data, place, own, listening, welcoming))


def number_in(addresses: tuple[str, ...]) -> str:
    """The best address by number, as it stands in a link."""
    return f"[{addresses[0]}]" if ":" in addresses[0] else addresses[0]


def say_where(args: argparse.Namespace, addresses: tuple[str, ...], more: tuple[str, ...] = ()) -> None:
    """Print the addresses, keep the first for other commands, and show the first phone how to pair."""
    from benchbell.store.photos import write_whole

    write_whole(args.data / ADDRESS_FILE, f"{addresses[0]}\n".encode())
    print(f"Benchbell: {' or '.join(f'{one}/' for one in addresses[:2])}", *more, sep="\n", flush=True)
    if not args.local:
        from benchbell.commands.records import first_pairing

        print(first_pairing(args.data, addresses[0], sys.stdout.isatty()), flush=True)


def run_loop(work: Any) -> None:
    """Run the servers on the fastest loop there is; a signal to stop is no error."""
    import asyncio
    from contextlib import suppress

    from uvicorn.loops.auto import auto_loop_factory

    with suppress(KeyboardInterrupt), asyncio.Runner(loop_factory=auto_loop_factory()) as runner:
        runner.run(work)
