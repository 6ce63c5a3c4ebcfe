"""The program's commands. Each is a module with `add_to`; only the one that is asked for is imported."""

import argparse
import importlib
import os
import sys
from collections.abc import Sequence

from benchbell.findings import Refused

COMMANDS = {
    "serve": "benchbell.commands.serve",
    "check": "benchbell.commands.check",
    "sheet": "benchbell.commands.check",
    "reckon": "benchbell.reckon",
    "labels": "benchbell.commands.labels",
    "plan": "benchbell.commands.plan",
    "log": "benchbell.commands.log",
    "pair": "benchbell.commands.records",
    "devices": "benchbell.commands.records",
    "backup": "benchbell.commands.records",
    "restore": "benchbell.commands.records",
}
"""Each command and the module whose `add_to(subparsers)` adds it."""


def parser_for(words: Sequence[str]) -> argparse.ArgumentParser:
    """A parser that knows the command these words begin with, or all of them when they begin with none."""
    parser = argparse.ArgumentParser(prog="benchbell", description="Keeps a furniture build moving, network or not.")
    subparsers = parser.add_subparsers(metavar="COMMAND", required=True)
    asked = {COMMANDS[word] for word in words[:1] if word in COMMANDS}
    for module in sorted(asked or set(COMMANDS.values())):
        importlib.import_module(module).add_to(subparsers)
    return parser


def main(words: Sequence[str] | None = None) -> int:
    """Run one command; 0 when all is well, 1 when it could not be done, 2 when it was not understood."""
    words = sys.argv[1:] if words is None else words
    args = parser_for(words).parse_args(words)
    try:
        code = int(args.run(args))
        sys.stdout.flush()  # here, so that a reader who has gone is noticed here
        return code
    except Refused as error:
        print(f"{error.what}\n{error.next_step}", file=sys.stderr)
        return 1
    except BrokenPipeError:
        # Whoever reads this, such as `head`, has seen enough. Nothing is left to write at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        return 130
