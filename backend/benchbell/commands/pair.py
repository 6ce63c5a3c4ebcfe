"""`benchbell pair`: a code that pairs a phone, or a token for a program."""

import argparse
import os
from pathlib import Path
from typing import Any

from benchbell.commands.data_folder import add_data_option, command_on, require_records, server_address
from benchbell.commands.help import examples
from benchbell.commands.output import add_json_option, print_result
from benchbell.findings import are, counted
from benchbell.settings import now_ms
from benchbell.store.errors import StoreError
from benchbell.store.sqlite_records import ask_records


def add_to(subparsers: Any) -> None:
    """Add the command."""
    pair = subparsers.add_parser(
        "pair",
        help="show a code that pairs one more device",
        description="Show a code, to scan or to type, that pairs one more phone within ten minutes; or print a token "
        "with which a program may use the server.",
        epilog=examples("benchbell pair", "benchbell pair --token 'a script' --json"),
    )
    pair.add_argument("--token", metavar="NAME", help="instead print a token, once, for a program of this name")
    add_data_option(pair)
    add_json_option(pair)
    pair.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Print a pairing code, or with `--token` a token. Raises Refused when no server was ever started here."""
    if args.token:
        require_records(args.data)
        made = ask_records(args.data, lambda records: records.add_device(args.token, now_ms(), os.urandom))
        print_result(args, made, f"{made.token}\nSend it as: Authorization: Bearer TOKEN. It is not shown again.")
        return 0
    address = server_address(args.data)
    code = new_code(require_records(args.data))
    text = f"{pairing_text(address, code)}{what_hinders(args.data, address)}"
    print_result(args, {"code": code, "address": pairing_address(address, code)}, text)
    return 0


def what_hinders(data: Path, address: str) -> str:
    """Why the code may be of no use, in a line; "" where nothing is known against it."""
    from benchbell.store.folder_lock import is_served

    if not is_served(data):
        return f"No server runs on {data}: start it with {command_on(data, 'serve')}\n"
    if address.startswith("http://127.0.0.1"):
        return "If that server was started with --local, it serves this machine alone, and nothing can be paired.\n"
    return ""


def new_code(data: Path) -> str:
    """A new pairing code, eight characters; it pairs one device within ten minutes."""
    return ask_records(data, lambda records: records.new_pairing_code(now_ms(), os.urandom))


def pairing_address(address: str, code: str) -> str:
    """The page that pairs a device, with the code in its fragment, which browsers do not send to the server."""
    return f"{address}/pair#{code}"


def pairing_text(address: str, code: str) -> str:
    """How to pair one device: a QR code for the terminal, the address and the code to type."""
    from benchbell.web.terminal import pairing_instructions

    return pairing_instructions(pairing_address(address, code), code)


def pairing_on_start(data: Path, address: str, on_terminal: bool) -> str:
    """What the server prints about pairing when it starts.

    A pairing code only when no device is paired yet and a person reads the terminal: a log must not contain codes.
    """
    devices = ask_records(data, lambda records: records.all_devices())
    paired = [device for device in devices if device.revoked_ms is None]
    if paired or not on_terminal:
        many = f"{counted(len(paired), 'device')} {are(len(paired))}"
        return f"{many} paired. To pair one: {command_on(data, 'pair')}"
    try:
        return pairing_text(address, new_code(data))
    except StoreError as error:
        return f"No device can be paired now. {error}"
