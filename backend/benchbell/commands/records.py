"""Commands that look after the records: `benchbell pair`, `devices`, `backup`, `restore`."""

import argparse
import datetime
import os
import sys
from pathlib import Path
from typing import Any

import msgspec

from benchbell.commands.serve import ADDRESS_FILE, data_folder
from benchbell.findings import Refused
from benchbell.settings import now_ms
from benchbell.store.backup import Backup, back_up, restore
from benchbell.store.record_types import Device
from benchbell.store.sqlite_records import ask_records


def add_to(subparsers: Any) -> None:
    """Add the commands."""
    pair = subparsers.add_parser("pair", help="show a code that pairs one more device")
    pair.add_argument("--token", metavar="NAME", help="instead print a token, once, for a program of this name")
    pair.set_defaults(run=run_pair)
    devices = subparsers.add_parser("devices", help="list devices; revoke one, and look at what it sent since")
    devices.add_argument("do", nargs="?", choices=("revoke", "review", "accept"), help="what to do with one")
    devices.add_argument("name", nargs="?", help="its name or id")
    devices.set_defaults(run=run_devices)
    copy = subparsers.add_parser("backup", help="write a verified copy of everything, while the server runs")
    copy.add_argument("file", type=Path, help="the zip to write; it must not be there yet")
    copy.set_defaults(run=run_backup)
    back = subparsers.add_parser("restore", help="put a backup into an empty data folder")
    back.add_argument("file", type=Path, help="a zip that benchbell backup wrote")
    back.set_defaults(run=run_restore)
    for command in (pair, devices, copy, back):
        command.add_argument("--data", type=Path, default=data_folder(), help="folder of the records (%(default)s)")
        command.add_argument("--json", action="store_true", help="print one JSON object")


def run_pair(args: argparse.Namespace) -> int:
    """A code for a phone, or a token for a program."""
    if args.token:
        made = ask_records(args.data, lambda records: records.add_device(args.token, now_ms(), os.urandom))
        say(args, made, f"{made.token}\nSend it as: Authorization: Bearer TOKEN. It is not shown again.")
        return 0
    address = address_in(args.data)
    code = new_code_in(args.data)
    pairing = f"{address}/pair#{code}"
    from benchbell.web.terminal import told_of_pairing

    say(args, {"code": code, "address": pairing}, told_of_pairing(pairing, code))
    return 0


def new_code_in(data: Path) -> str:
    """A code that pairs one device within ten minutes."""
    return ask_records(data, lambda records: records.new_pairing_code(now_ms(), os.urandom))


def address_in(data: Path) -> str:
    """Where the server of this data folder was last. Raises Refused."""
    try:
        return (data / ADDRESS_FILE).read_text(encoding="utf-8").strip()
    except OSError as error:
        raise Refused(f"No server was ever started on {data}.", "Start it with benchbell serve.") from error


def first_pairing(data: Path, address: str, on_terminal: bool) -> str:
    """What to say about pairing when the server starts; a code is shown to a person only, never to a log."""
    devices = ask_records(data, lambda records: records.all_devices())
    welcome = [device for device in devices if device.revoked_ms is None]
    if welcome or not on_terminal:
        return f"{len(welcome)} devices are paired. To pair one: benchbell pair"
    from benchbell.web.terminal import told_of_pairing

    code = new_code_in(data)
    return told_of_pairing(f"{address}/pair#{code}", code)


def run_devices(args: argparse.Namespace) -> int:
    """The list; or one device revoked, reviewed, or its work taken in after all."""
    if args.do is None:
        lines = ask_records(args.data, lambda records: records.devices_with_quarantined())
        say(args, [device for device, _ in lines], "\n".join(told(*line) for line in lines) or "No device is paired.")
        return 0
    if not args.name:
        raise Refused(
            f"Which device is to be looked at for {args.do}?", "Give its name, as benchbell devices lists it."
        )
    DOING[args.do](args)
    return 0


def told(device: Device, aside: int) -> str:
    """One device on one line."""
    state = f"seen {day(device.seen_ms)}" if device.revoked_ms is None else f"revoked {day(device.revoked_ms)}"
    review = f", {aside} happenings to review" if aside else ""
    return f"{device.name}  ({device.id}, paired {day(device.paired_ms)}, {state}{review})"


def day(ms: int) -> str:
    """A moment in this machine's time zone."""
    return f"{datetime.datetime.fromtimestamp(ms / 1000):%Y-%m-%d %H:%M}"


def do_revoke(args: argparse.Namespace) -> None:
    """Shut one out."""
    device = ask_records(args.data, lambda records: records.revoke(args.name, now_ms()))
    say(args, device, f"{device.name} is revoked. What it sends from now on is kept aside for review.")


def do_review(args: argparse.Namespace) -> None:
    """Print what a revoked one sent, a happening a line, to the letter."""
    bodies = ask_records(args.data, lambda records: records.quarantined_from(args.name))
    sys.stdout.writelines(f"{body.decode()}\n" for body in bodies)


def do_accept(args: argparse.Namespace) -> None:
    """Take what a revoked one sent into the book."""
    taken = ask_records(args.data, lambda records: records.accept_quarantined(args.name))
    say(args, {"taken": taken}, f"{taken} happenings of {args.name} are in the book now.")


DOING = {"revoke": do_revoke, "review": do_review, "accept": do_accept}


def run_backup(args: argparse.Namespace) -> int:
    """Back up, and say what is in it."""
    return tell_backup(args, "Backed up and read back", back_up(args.data, args.file))


def run_restore(args: argparse.Namespace) -> int:
    """Restore, and say what came."""
    return tell_backup(args, "Restored and checked", restore(args.file, args.data))


def tell_backup(args: argparse.Namespace, done: str, made: Backup) -> int:
    """One line on the terminal."""
    say(args, made, f"{done}: {made.happenings} happenings, {made.files} files, {made.bytes:,} bytes, {made.file}")
    return 0


def say(args: argparse.Namespace, value: Any, words: str) -> None:
    """The value as JSON, or the words."""
    print(msgspec.json.encode(value).decode() if args.json else words)
