"""Recipes and shop profiles that are named on the command line: read, compiled, and their findings as text."""

import argparse
import sys
import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from string import ascii_uppercase

import msgspec

from benchbell.commands.output import STREAM
from benchbell.commands.terminal_text import coloured
from benchbell.findings import Finding, Refused, counted
from benchbell.fragment_files import FragmentFiles
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.read import MOST_BYTES
from benchbell.recipe.sheet import Sheet
from benchbell.recipe.shop_profile import ShopProfile, in_celsius
from benchbell.recipe.usual_names import of_shop
from benchbell.settings import shipped_recipes


def add_shop_option(parser: argparse.ArgumentParser) -> None:
    """Add `--shop` to a command that compiles recipes."""
    meaning = "a TOML file with the shop's air, clamps, fixtures and labels"
    parser.add_argument("--shop", type=Path, metavar="FILE", help=meaning)


def add_pieces_option(parser: argparse.ArgumentParser, of: str) -> None:
    """Add `--pieces` to a command that compiles recipes. of: what the pieces are of, for its help."""
    parser.add_argument("--pieces", type=int, default=1, metavar="N", help=f"pieces {of}, 1 to 26 (%(default)s)")


def add_choice_option(parser: argparse.ArgumentParser) -> None:
    """Add `--set` to a command that compiles recipes."""
    parser.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="NAME=ANSWER",
        dest="chosen",
        help="answer a choice of the recipe, as width='500 mm'; for one piece B.width='500 mm'",
    )


def compile_file(path: Path, pieces: int, shop: ShopProfile, chosen: Sequence[str] = ()) -> Sheet:
    """The sheet of a build from a recipe's file, with fragments from its folder and the shipped ones.

    chosen: as `--set` was given. Raises Refused when a file cannot be read or is not UTF-8, or an answer has no name.
    """
    fragments = FragmentFiles((path.parent, shipped_recipes()))
    return compile_text(read_text(path), str(path), pieces, shop, answers_in(chosen), fragments)


def answers_in(chosen: Sequence[str]) -> dict[str, str]:
    """The answers by the name of the choice: "width" or "B.width". Raises Refused when one has no name."""
    answers: dict[str, str] = {}
    for one in chosen:
        name, sign, answer = one.partition("=")
        if not sign or not name.strip():
            raise Refused(f"--set {one} names no choice.", "Write it like --set width='500 mm'.")
        answers[name.strip()] = answer.strip()
    return answers


def pieces_named(chosen: Sequence[str]) -> int:
    """How many pieces a build needs so that it has every piece that an answer names; 1 when none does."""
    return max((ascii_uppercase.find(name[0]) + 1 for name in answers_in(chosen) if name[1:2] == "."), default=1)


def compile_files(paths: Sequence[Path], pieces: int, shop: ShopProfile, chosen: Sequence[str]) -> dict[Path, Sheet]:
    """The sheets of builds from several recipes. Each takes those answers for which it has a choice.

    Raises Refused as compile_file does, and for an answer that no recipe asks for.
    """
    return {path: compile_file(path, pieces, shop, own) for path, own in shared_out(chosen, paths, shop).items()}


def shared_out(chosen: Sequence[str], paths: Sequence[Path], shop: ShopProfile) -> Mapping[Path, Sequence[str]]:
    """By recipe, those of the answers for which it has a choice; of a single recipe all.

    Raises Refused as compile_file does, and for an answer that no recipe asks for.
    """
    if len(paths) == 1 or not chosen:
        return dict.fromkeys(paths, chosen)
    named = {one: next(iter(answers_in([one]))).rpartition(".")[2] for one in chosen}
    asked = {path: {choice.name for choice in compile_file(path, 1, shop).choices} for path in paths}
    for one, name in named.items():
        if not any(name in names for names in asked.values()):
            raise Refused(f"--set {one}: no recipe here has a choice {name}.", "See them with benchbell sheet --json.")
    return {path: [one for one in chosen if named[one] in asked[path]] for path in paths}


def read_text(path: Path) -> str:
    """A file's text, cut one byte after MOST_BYTES: the compiler needs no more to refuse a recipe as too long.

    Raises Refused when the file cannot be read or is not UTF-8.
    """
    try:
        content = standard_input() if path == STREAM else beginning_of(path)
        return content.decode(errors="strict" if len(content) <= MOST_BYTES else "replace")
    except UnicodeDecodeError as error:
        raise Refused(f"{path} is not text in UTF-8.", "Save it as plain text.") from error
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror}.", "Check the file's name.") from error


def beginning_of(path: Path) -> bytes:
    """A file's first MOST_BYTES + 1 bytes. Raises OSError."""
    with path.open("rb") as file:
        return file.read(MOST_BYTES + 1)


@cache
def standard_input() -> bytes:
    """The first MOST_BYTES + 1 bytes of standard input, which can be read only once."""
    return sys.stdin.buffer.read(MOST_BYTES + 1)


def read_shop(path: Path | None) -> ShopProfile:
    """The shop profile in a TOML file; the default profile for None.

    Raises Refused when the file cannot be read, is not TOML, does not have the form of a shop profile, or names a
    clamp or glue that is in no table.
    """
    if path is None:
        return ShopProfile()
    try:
        return of_shop(msgspec.convert(in_celsius(tomllib.loads(read_text(path))), ShopProfile))
    except (tomllib.TOMLDecodeError, msgspec.ValidationError) as error:
        keys = ", ".join(ShopProfile.__struct_fields__)
        raise Refused(f"{path} is not a shop file: {error}.", f"Correct it; it may have {keys}.") from error


def has_error(sheet: Sheet) -> bool:
    """Whether a finding of grade "error" forbids building from the sheet."""
    return any(finding.grade == "error" for finding in sheet.findings)


def findings_text(sheet: Sheet) -> str:
    """The findings, one a line; without any, a line that says how much the build has."""
    if sheet.findings:
        return "\n".join(finding_text(finding) for finding in sheet.findings)
    operations, parts = counted(len(sheet.operations), "operation"), counted(len(sheet.parts), "part")
    return f"{sheet.recipe}: no findings. {operations}, {parts}."


def finding_text(finding: Finding) -> str:
    """A finding on one line, its grade in colour on a terminal."""
    return str(finding).replace(f" {finding.grade}: ", f" {coloured(finding.grade, finding.grade)}: ", 1)
