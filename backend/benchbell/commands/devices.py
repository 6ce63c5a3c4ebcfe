"""`benchbell devices`: list the paired devices, revoke one, and review or accept what a revoked one sent."""

import argparse
import sys
from typing import Any

from benchbell.commands.data_folder import add_data_option, require_records
from benchbell.commands.help import examples
from benchbell.commands.output import add_json_option, print_result
from benchbell.findings import Refused, are, counted
from benchbell.moments import date_of
from benchbell.settings import now_ms
from benchbell.store.quarantine import LOOK_OR_DISCARD
from benchbell.store.record_types import Device
from benchbell.store.sqlite_records import ask_records


def add_to(subparsers: Any) -> None:
    """Add the command."""
    devices = subparsers.add_parser(
        "devices",
        help="list devices; revoke one, and look at what it sent since",
        description="List the paired devices. Revoke one that is lost: what it sends from then on is kept aside, to "
        "review, and then to accept or discard.",
        epilog=examples(
            "benchbell devices",
            "benchbell devices revoke 'lost phone'",
            "benchbell devices review 'lost phone'",
            "benchbell devices accept 'lost phone'",
        ),
    )
    devices.add_argument("do", nargs="?", choices=tuple(ACTIONS), help="what to do with one device")
    devices.add_argument("name", nargs="?", help="its name or id")
    add_data_option(devices)
    add_json_option(devices)
    devices.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """List the devices, or do what is asked with one. Raises Refused when none is named, or none has that name."""
    require_records(args.data)
    if args.do is None:
        rows = ask_records(args.data, lambda records: records.devices_with_quarantined())
        text = "\n".join(device_line(*row) for row in rows) or "No device is paired."
        print_result(args, [device for device, _ in rows], text)
        return 0
    if not args.name:
        raise Refused(f"benchbell devices {args.do} needs a device.", "Add its name, as benchbell devices lists it.")
    ACTIONS[args.do](args)
    return 0


def device_line(device: Device, quarantined: int) -> str:
    """One device on one line."""
    state = f"seen {day(device.seen_ms)}" if device.revoked_ms is None else f"revoked {day(device.revoked_ms)}"
    review = f", {counted(quarantined, 'happening')} to review" if quarantined else ""
    return f"{device.name}  ({device.id}, paired {day(device.paired_ms)}, {state}{review})"


def day(ms: int) -> str:
    """Milliseconds since 1970 as a date and time in this machine's time zone: 2026-12-01 08:00."""
    return f"{date_of(ms, None):%Y-%m-%d %H:%M}"


def revoke_device(args: argparse.Namespace) -> None:
    """Revoke a device: the server takes nothing more from it into the log. Raises Refused for an unknown name."""
    device = ask_records(args.data, lambda records: records.revoke(args.name, now_ms()))
    print_result(args, device, f"{device.name} is revoked. What it sends from now on is kept aside for review.")


def review_device(args: argparse.Namespace) -> None:
    """Print what a revoked device sent: a happening a line, byte for byte. Raises Refused for an unknown name."""
    bodies = ask_records(args.data, lambda records: records.quarantined_from(args.name))
    sys.stdout.writelines(f"{body.decode()}\n" for body in bodies)


def accept_device(args: argparse.Namespace) -> None:
    """Take what a revoked device sent into the log. Raises Refused for an unknown name, or if nothing can be taken."""
    taken = ask_records(args.data, lambda records: records.accept_quarantined(args.name))
    left = len(ask_records(args.data, lambda records: records.quarantined_from(args.name)))
    stays = (
        f" {left} could not be taken and {'stays' if left == 1 else 'stay'} aside. {LOOK_OR_DISCARD}" if left else ""
    )
    print_result(
        args,
        {"taken": taken, "left": left},
        f"{counted(taken, 'happening')} of {args.name} {are(taken)} in the log now.{stays}",
    )


def discard_device(args: argparse.Namespace) -> None:
    """Delete what a revoked device sent and nobody took. Raises Refused for an unknown name."""
    discarded = ask_records(args.data, lambda records: records.discard_quarantined(args.name))
    print_result(
        args, {"discarded": discarded}, f"{counted(discarded, 'happening')} of {args.name} {are(discarded)} deleted."
    )


ACTIONS = {"revoke": revoke_device, "review": review_device, "accept": accept_device, "discard": discard_device}
