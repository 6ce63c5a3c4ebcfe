"""`benchbell serve`: the shop's server."""

import argparse
import socket
import sys
from pathlib import Path
from typing import Any

from benchbell.commands.data_folder import add_data_option, keep_server_address
from benchbell.commands.help import examples
from benchbell.commands.output import say
from benchbell.findings import Refused
from benchbell.settings import Settings
from benchbell.store.errors import DiskFull, StoreError

AFTER_ROOM = "Make room, then start it again, so that benchbell's other commands can use the records beside it."


def add_to(subparsers: Any) -> None:
    """Add the command."""
    serve = subparsers.add_parser(
        "serve",
        help="run the shop's server",
        description="Run the shop's server: it serves the page to phones, keeps the records and rings. On first run it "
        "makes the data folder and its own certificate authority.",
        epilog=examples(
            "benchbell serve --local --demo               look at it on this machine alone",
            "benchbell serve --backup-to /media/backups   for the shop, with a backup a day",
        ),
    )
    add_data_option(serve)
    serve.add_argument("--recipes", type=Path, action="append", default=[], help="a further folder of recipes")
    serve.add_argument("--host", default="", help="address to listen on; left out: all of them")
    serve.add_argument("--port", type=int, default=8443, help="port to listen on (%(default)s)")
    serve.add_argument("--welcome-port", type=int, default=8080, help="port of the welcome page (%(default)s)")
    serve.add_argument("--local", action="store_true", help="for this machine only: no certificate, no pairing")
    serve.add_argument("--demo", action="store_true", help="start a demo build when there is no build yet")
    serve.add_argument("--cert", type=Path, help="certificate chain from elsewhere, with --key")
    serve.add_argument("--key", type=Path, help="its private key")
    serve.add_argument(
        "--proxied", action="store_true", help="plain http behind a proxy on this machine that does https"
    )
    serve.add_argument(
        "--address", default="", help="what phones open, such as https://bench.example; left out: found by itself"
    )
    serve.add_argument(
        "--bell", default="", help="a command to run when a clock is due; BENCHBELL_TITLE says which clock"
    )
    serve.add_argument("--contact", default="", help="your mailto:… address, which some push services require")
    serve.add_argument("--backup-to", type=Path, metavar="FOLDER", help="write a backup into this folder once a day")
    serve.add_argument(
        "--keep", type=int, default=14, metavar="N", help="backups to keep there; older ones are deleted (%(default)s)"
    )
    serve.add_argument(
        "--prove",
        type=float,
        default=0.0,
        metavar="SECONDS",
        help="search each plan for so much longer, with benchbell[optimal]",
    )
    serve.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Serve until stopped. Raises Refused when an argument is wrong or the server cannot start."""
    from benchbell.alerts.bell import command_of
    from benchbell.settings import inside_package, shipped_recipes
    from benchbell.store.database import make_data_folder
    from benchbell.store.folder_lock import only_server_on
    from benchbell.web.terminal import configure_logging

    if (args.cert is None) != (args.key is None):
        raise Refused("A certificate and its key belong together.", "Give both --cert and --key.")
    if args.contact and not args.contact.startswith(("mailto:", "https://")):
        raise Refused(f"The contact is {args.contact!r}.", "Give it as mailto:you@your.domain or https://your.domain.")
    if args.keep < 1:
        raise Refused(f"--keep {args.keep} keeps no backup.", "Keep 1 or more.")
    if args.backup_to is not None:
        check_backup_folder(args)
    for folder in args.recipes:
        if not folder.is_dir():
            raise Refused(f"There is no folder {folder}.", "Name one with recipes, or leave --recipes out.")
    bell = command_of(args.bell) if args.bell else ()
    configure_logging()
    make_data_folder(args.data)
    recipes = (*args.recipes, shipped_recipes())
    settings = Settings(
        args.data,
        recipes,
        inside_package("page"),
        local=args.local,
        welcome=serves_welcome(args),
        bell=bell,
        contact=args.contact,
        prove_s=args.prove,
        backup_to=args.backup_to,
        keep_backups=args.keep,
    )
    with only_server_on(args.data):
        serve_with(args, settings)
    return 0


def check_backup_folder(args: argparse.Namespace) -> None:
    """Say when the folder of backups is not there yet. Raises Refused when it is inside the data folder."""
    from benchbell.store.backup import check_outside

    check_outside(args.backup_to, args.data)
    if not args.backup_to.is_dir():
        say(f"There are no backups until {args.backup_to} is there. Plug in its disk, or make the folder.")


def serve_with(args: argparse.Namespace, settings: Settings) -> None:
    """Serve with these settings until stopped. Raises Refused when the server cannot start."""
    from benchbell.store.mending import prepare_mended
    from benchbell.store.photos import clear_unfinished
    from benchbell.web.app import create_app

    if sentences := prepare_mended(args.data):
        say(sentences)
    clear_unfinished(args.data)
    app = create_app(settings)
    if args.demo:
        from benchbell.commands.demo import begin_demo

        try:
            begin_demo(settings)
        except StoreError as error:
            say(f"The demo build cannot be started: {error}")
    start(args, app)


def serves_welcome(args: argparse.Namespace) -> bool:
    """Whether the server makes its own certificate, which phones fetch from the welcome page."""
    return not (args.local or args.proxied or args.cert)


def start(args: argparse.Namespace, app: Any) -> None:
    """Listen, print the addresses, and serve. Raises Refused when a port or the certificate cannot be used."""
    if args.local or args.proxied:
        start_here(args, app)
    elif args.cert:
        start_with_certificate(args, app)
    else:
        start_for_the_shop(args, app)


def start_here(args: argparse.Namespace, app: Any) -> None:
    """Serve plain http on this machine only, for `--local` and behind a proxy. Raises Refused for a port in use."""
    from benchbell.web.connections import for_one_address
    from benchbell.web.servers import config, listen, run_alone

    listening = listen("127.0.0.1", args.port)
    print_addresses(args, (args.address or f"http://127.0.0.1:{port_of(listening)}",))
    run_until_stopped(run_alone(config(app, proxied=args.proxied), listening, for_one_address()))


def start_with_certificate(args: argparse.Namespace, app: Any) -> None:
    """Serve https with the certificate of `--cert`, which phones trust already.

    Raises Refused when the certificate or the port cannot be used.
    """
    from benchbell.web.address_follower import https_addresses
    from benchbell.web.connections import Connections
    from benchbell.web.network import place_now
    from benchbell.web.servers import TlsFiles, config, listen, run_alone

    served = config(app, TlsFiles(args.cert, args.key))
    listening = listen(args.host, args.port)
    print_addresses(args, (args.address,) if args.address else https_addresses(place_now(), port_of(listening)))
    run_until_stopped(run_alone(served, listening, Connections()))


def start_for_the_shop(args: argparse.Namespace, app: Any) -> None:
    """Serve https with the workshop's own authority, and the welcome page on which phones fetch its certificate.

    Raises Refused when a port cannot be used.
    """
    from benchbell.web.address_follower import https_addresses, own_certificate
    from benchbell.web.network import place_now
    from benchbell.web.servers import listen, run_both

    place = place_now()
    listening, welcoming = listen(args.host, args.port), listen(args.host, args.welcome_port, "--welcome-port")
    had_authority = (args.data / "certificate" / "authority.pem").exists()
    own = own_certificate(args.data, place)
    if not had_authority:
        say_authority_is_new(args.data)
    if own.failure is not None:
        say(f"{own.failure} Until then the server's last certificate serves, as long as it is valid.")
    for name in own.left_out:
        say(
            f"This machine is now called {name}, but its authority was made for another name. Use an address by number."
        )
    new_phone = f"http://{number_in(place.addresses)}:{port_of(welcoming)}/"
    more = (
        f"New phone: open {new_phone} on it and do what it says.",
        f"Fingerprint of this workshop's authority (SHA-256): {own.fingerprint}",
    )
    print_addresses(args, ((args.address,) if args.address else ()) + https_addresses(place, port_of(listening)), more)
    run_until_stopped(run_both(app, args.data, place, own, listening, welcoming))


def say_authority_is_new(data: Path) -> None:
    """Say it where devices are paired: they trusted the one that was lost."""
    from benchbell.store.sqlite_records import ask_records

    if any(device.revoked_ms is None for device in ask_records(data, lambda records: records.all_devices())):
        say(
            "The certificates were gone, so a new authority was made: each paired phone has to trust it again. "
            "Or stop this server and restore the folder certificate from a backup."
        )


def port_of(listening: socket.socket) -> int:
    """The port that a socket listens on: with `--port 0` the system chooses it."""
    return int(listening.getsockname()[1])


def number_in(addresses: tuple[str, ...]) -> str:
    """The first IP address, in the brackets that a link needs for IPv6."""
    return f"[{addresses[0]}]" if ":" in addresses[0] else addresses[0]


def print_addresses(args: argparse.Namespace, addresses: tuple[str, ...], more: tuple[str, ...] = ()) -> None:
    """Print the addresses, keep the first for other commands, and print how to pair the first phone."""
    say(f"Benchbell: {' or '.join(f'{one}/' for one in addresses[:2])}", *more)
    try:
        keep_server_address(args.data, addresses[0])
    except DiskFull as error:
        say(f"{error.what} Benchbell shows what is recorded and rings, but takes nothing new. {AFTER_ROOM}")
    except StoreError as error:
        say(f"The server's address was not kept, and benchbell pair lacks it. {error}")
    if not args.local:
        from benchbell.commands.pair import pairing_on_start

        say(pairing_on_start(args.data, addresses[0], sys.stdout.isatty()))


def run_until_stopped(work: Any) -> None:
    """Run the servers on uvloop where it is installed. A signal to stop ends them without an error."""
    import asyncio
    from contextlib import suppress

    from uvicorn.loops.auto import auto_loop_factory

    with suppress(KeyboardInterrupt), asyncio.Runner(loop_factory=auto_loop_factory()) as runner:
        runner.run(work)
