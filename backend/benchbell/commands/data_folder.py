"""The data folder: where it is, and the server's address that is kept in it."""

import argparse
import os
import shlex
import shutil
import sys
from pathlib import Path

from benchbell.findings import Refused
from benchbell.store.database import FILE_NAME

ADDRESS_FILE = "address"
"""Name of the file in the data folder with the server's address, such as https://bench.local:8443."""


def data_folder() -> Path:
    """The default data folder: BENCHBELL_DATA, or else `benchbell` in the XDG data folder."""
    home = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    return Path(os.environ.get("BENCHBELL_DATA") or home / "benchbell")


def add_data_option(parser: argparse.ArgumentParser) -> None:
    """Add `--data` to a command that works on the records."""
    parser.add_argument("--data", type=folder_named, default=data_folder(), help="folder of the records (%(default)s)")


def command_on(data: Path, words: str) -> str:
    """A command of Benchbell on this data folder, as it is typed here: the program's path where the shell needs it."""
    called = Path(sys.argv[0])
    known = shutil.which("benchbell")
    is_known = known is not None and Path(known).absolute() == called.absolute()
    program = "benchbell" if called.name != "benchbell" or is_known else shlex.quote(str(called))
    return f"{program} {words}" if data == data_folder() else f"{program} {words} --data {shlex.quote(str(data))}"


def folder_named(text: str) -> Path:
    """The folder of that name. Raises ArgumentTypeError for an empty name, which would be the current folder."""
    if not text.strip():
        raise argparse.ArgumentTypeError("it is empty; name the folder of the records")
    return Path(text)


def require_records(data: Path) -> Path:
    """The data folder, which must be there with its records: only the server makes them. Raises Refused."""
    if not data.is_dir():
        raise Refused(f"There is no data folder {data}.", "Name the right one with --data, or start benchbell serve.")
    if not any(data.glob(f"{FILE_NAME}*")):
        raise Refused(f"{data} holds no records.", "Name the right folder with --data, or start benchbell serve.")
    return data


def server_address(data: Path) -> str:
    """The address that the server of this data folder had when it last started, without a slash at the end.

    Raises Refused when no server was ever started on this folder.
    """
    try:
        return (data / ADDRESS_FILE).read_text(encoding="utf-8").strip()
    except IsADirectoryError as error:
        raise Refused(f"{data / ADDRESS_FILE} is a folder.", "Move it away, then start the server again.") from error
    except OSError as error:
        raise Refused(f"No server was ever started on {data}.", "Start it with benchbell serve.") from error


def keep_server_address(data: Path, address: str) -> None:
    """Write the server's address into the data folder, for `benchbell pair`. Raises StoreError."""
    from benchbell.store.errors import disk_error
    from benchbell.store.whole_file import write_whole

    try:
        write_whole(data / ADDRESS_FILE, f"{address}\n".encode())
    except OSError as error:
        raise disk_error(error, data) from error
