"""Recipes and shop profiles that are named on the command line: read, compiled, and their findings as text."""

import argparse
import tomllib
from pathlib import Path

import msgspec

from benchbell.findings import Refused
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.read import MOST_BYTES
from benchbell.recipe.sheet import Sheet
from benchbell.recipe.shop_profile import ShopProfile


def add_shop_option(parser: argparse.ArgumentParser) -> None:
    """Add `--shop` to a command that compiles recipes."""
    parser.add_argument("--shop", type=Path, help="a TOML file with the shop's air, clamps, fixtures and labels")


def compile_file(path: Path, pieces: int, shop: ShopProfile) -> Sheet:
    """The sheet of a build from a recipe's file. Raises Refused when the file cannot be read or is not UTF-8."""
    return compile_text(read_text(path), str(path), pieces, shop)


def read_text(path: Path) -> str:
    """A file's text, cut one byte after MOST_BYTES: the compiler needs no more to refuse a recipe as too long.

    Raises Refused when the file cannot be read or is not UTF-8.
    """
    try:
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
        return content.decode(errors="strict" if len(content) <= MOST_BYTES else "replace")
    except UnicodeDecodeError as error:
        raise Refused(f"{path} is not text in UTF-8.", "Save it as plain text.") from error
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror}.", "Check the file's name.") from error


def read_shop(path: Path | None) -> ShopProfile:
    """The shop profile in a TOML file; the default profile for None.

    Raises Refused when the file cannot be read, is not TOML, or does not have the form of a shop profile.
    """
    if path is None:
        return ShopProfile()
    try:
        return msgspec.convert(tomllib.loads(read_text(path)), ShopProfile)
    except (tomllib.TOMLDecodeError, msgspec.ValidationError) as error:
        keys = ", ".join(ShopProfile.__struct_fields__)
        raise Refused(f"{path} is not a shop file: {error}.", f"Correct it; it may have {keys}.") from error


def has_error(sheet: Sheet) -> bool:
    """Whether a finding of grade "error" forbids building from the sheet."""
    return any(finding.grade == "error" for finding in sheet.findings)


def findings_text(sheet: Sheet) -> str:
    """The findings, one a line; without any, a line that says how much the build has."""
    if sheet.findings:
        return "\n".join(str(finding) for finding in sheet.findings)
    return f"{sheet.recipe}: no findings. {len(sheet.operations)} operations, {len(sheet.parts)} parts."
