"""What commands print and write: JSON for programs, text for people, files."""

import argparse
import json
import os
import re
import sys
from pathlib import Path
from typing import Any

import msgspec

from benchbell.commands.terminal_text import shows_everything
from benchbell.findings import Refused


def add_json_option(parser: argparse.ArgumentParser) -> None:
    """Add `--json` to a command."""
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def json_text(value: Any) -> str:
    """A value as indented JSON."""
    return msgspec.json.format(msgspec.json.encode(value), indent=2).decode()


def shown_json(text: str) -> str:
    """JSON that standard output can show: where it knows ASCII only, other characters are escaped."""
    if shows_everything(sys.stdout):
        return text
    return re.sub("[^\x00-\x7f]", lambda found: json.dumps(found[0])[1:-1], text)


def print_json(value: Any) -> None:
    """Print a value as indented JSON."""
    print(shown_json(json_text(value)))


def print_result(args: argparse.Namespace, value: Any, text: str) -> None:
    """Print the value as JSON when `--json` is given, otherwise the text."""
    print(shown_json(json_text(value)) if args.json else text)


def say(*lines: str) -> None:
    """Print lines at once. Where standard output cannot be written, such as on a full disk, they are dropped."""
    try:
        print(*lines, sep="\n", flush=True)
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # what is buffered would fail again at exit


STREAM = Path("-")
"""On the command line: standard input, or standard output."""


def write_file(path: Path, content: bytes) -> None:
    """Write a command's result to a file, or to standard output. Raises Refused when the file cannot be written."""
    if path == STREAM:
        sys.stdout.flush()
        sys.stdout.buffer.write(content)
        sys.stdout.buffer.flush()
        return
    try:
        path.write_bytes(content)
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror}.", "Name another file.") from error
