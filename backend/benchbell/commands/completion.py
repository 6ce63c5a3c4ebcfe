"""`benchbell completion`: a script with which a shell completes commands, options and files."""

import argparse
from pathlib import Path
from typing import Any

from benchbell.commands.help import examples

SHELLS = ("bash", "zsh", "fish")


def add_to(subparsers: Any) -> None:
    """Add the command."""
    completion = subparsers.add_parser(
        "completion",
        help="print a script with which a shell completes commands and options",
        description="Print a script with which bash, zsh or fish completes commands, options, their choices and files. "
        "Write it where the shell looks for such scripts, and open a new shell.",
        epilog=examples(
            "benchbell completion bash > ~/.local/share/bash-completion/completions/benchbell",
            "benchbell completion zsh > ~/.zfunc/_benchbell      # with ~/.zfunc in fpath",
            "benchbell completion fish > ~/.config/fish/completions/benchbell.fish",
        ),
    )
    completion.add_argument("shell", choices=SHELLS, help="the shell")
    completion.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Print the script."""
    import shtab

    from benchbell.cli import parser_for

    parser = parser_for(())
    complete_paths(parser)
    print(shtab.complete(parser, args.shell))
    return 0


def complete_paths(parser: argparse.ArgumentParser) -> None:
    """Let every argument that is a path complete to files, in this parser and in those of its commands."""
    import shtab

    for action in parser._actions:
        if action.type is Path:
            action.complete = shtab.FILE  # type: ignore[attr-defined]
        if isinstance(action, argparse._SubParsersAction):
            for inner in dict.fromkeys(action.choices.values()):
                complete_paths(inner)
