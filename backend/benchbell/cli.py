"""The program's commands. Each is a module with `add_to`; only the module of the command in use is imported."""

import argparse
import importlib
import json
import os
import re
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib.metadata import version
from typing import Any, NoReturn

from benchbell.commands.terminal_text import allow_every_terminal
from benchbell.findings import Refused, use_one_of

COMMANDS = {
    "serve": "benchbell.commands.serve",
    "check": "benchbell.commands.check",
    "sheet": "benchbell.commands.sheet",
    "names": "benchbell.commands.names",
    "reckon": "benchbell.reckon",
    "labels": "benchbell.commands.labels",
    "plan": "benchbell.commands.plan",
    "log": "benchbell.commands.log",
    "pair": "benchbell.commands.pair",
    "devices": "benchbell.commands.devices",
    "backup": "benchbell.commands.backup",
    "restore": "benchbell.commands.backup",
    "salvage": "benchbell.commands.salvage",
    "completion": "benchbell.commands.completion",
}
"""Each command and the module whose `add_to(subparsers)` adds it."""

ABOUT = "Keeps a furniture build moving, network or not."
FIRST_STEPS = """examples:
  benchbell serve --local --demo            look at it on this machine
  benchbell check recipes/hall-bench.toml   say what is wrong, or worth knowing, about a recipe
  benchbell sheet recipes/hall-bench.toml   print its cutting list and its operations in order
  benchbell COMMAND --help                  more about one command
"""


class BadUsage(Exception):
    """Words that a parser does not understand. usage: of that parser."""

    def __init__(self, usage: str, message: str) -> None:
        super().__init__(message)
        self.usage = usage


class HelpText(argparse.HelpFormatter):
    """Help whose examples keep their lines; other text is filled."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        return text if text.startswith("example") else super()._fill_text(text, width, indent)


class Parser(argparse.ArgumentParser):
    """A parser whose help keeps the lines of its examples, and whose errors are left to `main`."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"formatter_class": HelpText, **options})

    def _print_message(self, message: str, file: Any = None) -> None:
        """Write help. Raises OSError when it cannot be written."""
        (file or sys.stderr).write(message or "")

    def error(self, message: str) -> NoReturn:
        """Raises BadUsage."""
        raise BadUsage(self.format_usage(), message)


def parser_for(words: Sequence[str]) -> argparse.ArgumentParser:
    """A parser that knows the command `words` begins with, or every command when it begins with none."""
    parser = Parser(prog="benchbell", description=ABOUT, epilog=FIRST_STEPS)
    parser.add_argument("--version", action="version", version=f"benchbell {version('benchbell')}")
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
    allow_every_terminal()
    try:
        code = run(words)
        sys.stdout.flush()  # so that what is buffered fails here and not at exit
        return code
    except Refused as error:
        tell_error(words, error.what, error.next_step)
        return 1
    except BrokenPipeError:  # the reader, such as `head`, has closed the pipe
        discard_output()
        return 0
    except OSError as error:  # such as a full disk under standard output
        discard_output()
        tell_error(words, cannot_write(error), "Make room, or send it elsewhere.")
        return 1
    except KeyboardInterrupt:
        return 130


def run(words: Sequence[str]) -> int:
    """Run the command and give its exit code, also after help. Raises what the command raises."""
    try:
        args = parsed(words)
    except SystemExit as done:
        if done.code:
            raise
        return 0
    return int(args.run(args))


def parsed(words: Sequence[str]) -> argparse.Namespace:
    """The words, understood. Raises SystemExit: 0 after help, 2 after saying why they are not understood."""
    try:
        if words and words[0].isalpha() and words[0] not in COMMANDS:
            raise BadUsage(
                "", f"There is no command {words[0]}. {use_one_of(words[0], COMMANDS, 'in benchbell --help')}"
            )
        return parser_for(words).parse_args(words)
    except BadUsage as error:
        tell_error(words, f"{error.usage}{error}", next_step_after(words, str(error)))
        raise SystemExit(2) from error


def next_step_after(words: Sequence[str], message: str) -> str:
    """What to do about words that a parser does not understand: a choice that is near, or where help is."""
    command = f"{words[0]} " if words and words[0] in COMMANDS else ""
    if found := re.search(r"invalid choice: '(.*?)' \(choose from (.*)\)", message):
        return use_one_of(found[1], re.findall(r"'(.*?)'", found[2]), f"in benchbell {command}--help")
    return f"See benchbell {command}--help."


def tell_error(words: Sequence[str], what: str, next_step: str) -> None:
    """Print an error on the error stream, and as JSON too where `--json` is asked."""
    with suppress(OSError):
        print(f"{what}\n{next_step}", file=sys.stderr)
    if "--json" in words:
        with suppress(OSError):
            print(json.dumps({"error": what, "next_step": next_step}, indent=2))
            sys.stdout.flush()


def cannot_write(error: OSError) -> str:
    """A sentence about something that cannot be read or written."""
    return f"{error.filename or 'The output'} cannot be written ({error.strerror or error})."


def discard_output() -> None:
    """Let standard output go to nowhere, so that exit writes nothing."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


if __name__ == "__main__":
    sys.exit(main())
