"""The program's commands. Each is a module with `add_to`; only the module of the command in use is imported."""

import argparse
import importlib
import os
import sys
from collections.abc import Sequence

from benchbell.findings import Refused

COMMANDS = {
    "serve": "benchbell.commands.serve",
    "check": "benchbell.commands.check",
    "sheet": "benchbell.commands.sheet",
    "reckon": "benchbell.reckon",
    "labels": "benchbell.commands.labels",
    "plan": "benchbell.commands.plan",
    "log": "benchbell.commands.log",
    "pair": "benchbell.commands.pair",
    "devices": "benchbell.commands.devices",
    "backup": "benchbell.commands.backup",
    "restore": "benchbell.commands.backup",
    "salvage": "benchbell.commands.salvage",
}
"""Each command and the module whose `add_to(subparsers)` adds it."""


def parser_for(words: Sequence[str]) -> argparse.ArgumentParser:
    """A parser that knows the command `words` begins with, or every command when it begins with none."""
    parser = argparse.ArgumentParser(prog="benchbell", description="Keeps a furniture build moving, network or not.")
    subparsers = parser.add_subparsers(metavar="COMMAND", required=True)
    named = {COMMANDS[word] for word in words[:1] if word in COMMANDS}
    for module in sorted(named or set(COMMANDS.values())):
        importlib.import_module(module).add_to(subparsers)
    return parser


def main(words: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code: 0 done, 1 refused or with errors, 130 interrupted.

    Raises SystemExit (2) for words that the parser does not understand.
    """
    words = sys.argv[1:] if words is None else words
    args = parser_for(words).parse_args(words)
    try:
        code = int(args.run(args))
        flush_output()
        return code
    except Refused as error:
        print(f"{error.what}\n{error.next_step}", file=sys.stderr)
        return 1
    except BrokenPipeError:  # the reader, such as `head`, has closed the pipe
        discard_output()
        return 0
    except KeyboardInterrupt:
        return 130


def flush_output() -> None:
    """Write what is buffered, so that it fails here and not at exit. Raises BrokenPipeError, or else Refused."""
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        discard_output()
        raise Refused(
            f"The output cannot be written ({error.strerror}).", "Make room, or send it elsewhere."
        ) from error


def discard_output() -> None:
    """Let standard output go to nowhere, so that exit writes nothing."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
