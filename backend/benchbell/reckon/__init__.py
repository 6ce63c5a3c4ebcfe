"""`benchbell reckon`: the shop's arithmetic on the command line, each answer with its source and where it holds."""

import argparse
import json
import sys
from typing import TYPE_CHECKING, Any

from benchbell.findings import Refused
from benchbell.reckon import angles, cutters, gluing, moisture, movement, timber
from benchbell.reckon.answer import Answer, Command, failure, figures, sentences
from benchbell.reckon.examples import EXAMPLES

if TYPE_CHECKING:
    Subparsers = argparse._SubParsersAction[argparse.ArgumentParser]

COMMANDS: tuple[Command, ...] = (
    *moisture.COMMANDS,
    *movement.COMMANDS,
    *gluing.COMMANDS,
    *angles.COMMANDS,
    *cutters.COMMANDS,
    *timber.COMMANDS,
)


def add_to(subparsers: "Subparsers") -> None:
    """Add the command `reckon` with its subjects."""
    about = "the shop's arithmetic: moisture, movement, glue, clamps, angles, cutters, timber"
    some = [f"  benchbell reckon {name} {words}" for name, words in EXAMPLES.items()][:4]
    more = "\n".join(("examples:", *some, "  benchbell reckon SUBJECT --help"))
    reckon = subparsers.add_parser("reckon", help=about, description=f"{about[0].upper()}{about[1:]}.", epilog=more)
    subjects = reckon.add_subparsers(dest="subject", required=True, metavar="SUBJECT")
    for command in COMMANDS:
        example = f"example:\n  benchbell reckon {command.name} {EXAMPLES[command.name]}"
        description = f"{command.about[0].upper()}{command.about[1:]}."
        parser = subjects.add_parser(command.name, help=command.about, description=description, epilog=example)
        command.arguments(parser)
        parser.add_argument("--json", action="store_true", help="figures as JSON, each key with its unit")
        parser.set_defaults(reckon=command.answer, run=run)


def run(args: argparse.Namespace) -> int:
    """Print the answer and give 0. A refusal goes to the error stream and gives 1; `--json` prints it as JSON too."""
    try:
        answer: Answer = args.reckon(args)
    except Refused as error:
        print(error, file=sys.stderr)
        if args.json:
            print(as_json(failure(error)))
        return 1
    print(as_json(figures(answer)) if args.json else sentences(answer))
    return 0


def as_json(content: dict[str, Any]) -> str:
    """A value as indented JSON, with other characters escaped where standard output has ASCII only."""
    is_unicode = (sys.stdout.encoding or "").lower().startswith("utf")
    return json.dumps(content, ensure_ascii=not is_unicode, indent=2)
