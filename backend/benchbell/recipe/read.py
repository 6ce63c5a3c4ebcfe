"""TOML text to a recipe as written, with findings by line. All that is wrong with its form is said at once."""

import re
import tomllib
from itertools import islice
from typing import Any

import msgspec
from msgspec.inspect import type_info

from benchbell.recipe.form import misfits
from benchbell.recipe.notes import Notes, shortened
from benchbell.recipe.toml_positions import Path, lines_of
from benchbell.recipe.written import Recipe

MOST_BYTES = 1_000_000
MOST_DOTS = 50
"""In one key; a reader of TOML takes time with the square of them."""

MOST_MISFITS = 200
"""Said of one recipe; who has more starts with those."""

KINDS = {"part": "Part", "setup": "Setup", "operation": "Operation", "size": "Size"}

IN_PLAIN_WORDS = {
    r"Illegal character '\n'": "A text is not closed on its line",
    "Cannot overwrite a value": "This key is there twice",
    "Cannot declare": "This table is there twice",
    "Invalid value": "A value is missing, or a text stands without quotes",
    "Invalid statement": "This is neither a key with its value nor a table",
}
"""What the reader of TOML says begins so; for those who never read its rules."""

_FORM = type_info(Recipe)
_byte_order_mark = "\ufeff"
_long_key = re.compile(rf"(?<![\w\"'-])(?:[\w\"'-]++[ \t]*+\.[ \t]*+){{{MOST_DOTS}}}")
_place = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)")


def read(text: str, file: str) -> tuple[Recipe | None, Notes]:
    """The recipe and what is to be said about its form; None when it cannot be made out."""
    notes = Notes(file)
    text = text.removeprefix(_byte_order_mark)
    table = table_of(text, notes)
    if table is None:
        return None, notes
    notes.lines = lines_of(text)
    for misfit in islice(misfits(table, _FORM), MOST_MISFITS):
        notes.error("form", misfit.path, f"{name_of(table, misfit.path)} {misfit.what}", misfit.next_step)
    return (msgspec.convert(table, Recipe) if notes.sound else None), notes


def table_of(text: str, notes: Notes) -> dict[str, Any] | None:
    """The text as TOML's table; None, and a finding, when it is too long or no TOML."""
    size = len(text.encode(errors="replace"))
    if size > MOST_BYTES:
        what = f"The recipe has more than {MOST_BYTES:,} bytes."
        notes.error("too-long", (), what, "Split it into several recipes.")
        return None
    try:
        require_readable(text)
        return tomllib.loads(text)
    except RecursionError:
        not_toml(text, "It is nested too deeply", notes)
    except tomllib.TOMLDecodeError as error:
        not_toml(text, str(error), notes)
    except ValueError:  # Python reads no number of more than some thousand digits
        not_toml(text, "It has a number with too many digits", notes)
    return None


def require_readable(text: str) -> None:
    """Raise TOMLDecodeError for what TOML's reader would choke on, or take as text though it is none."""
    if found := re.search("[\ud800-\udfff]", text):
        raise tomllib.TOMLDecodeError(f"It has a broken character (at line {line_of(text, found)}, column 1)")
    if found := _long_key.search(text):
        raise tomllib.TOMLDecodeError(f"It has a key with too many dots (at line {line_of(text, found)}, column 1)")


def line_of(text: str, found: re.Match[str]) -> int:
    """The line a match begins in."""
    return text.count("\n", 0, found.start()) + 1


def not_toml(text: str, message: str, notes: Notes) -> None:
    """A finding for text that is not TOML."""
    found = _place.search(message)
    last = text.count("\n") + 1
    notes.lines[("toml",)] = 1 if found is None else int(found[1] or last)
    column = f" at column {found[2]}" if found and found[2] else ""
    said = _place.sub("", message)
    said = next((plain for words, plain in IN_PLAIN_WORDS.items() if said.startswith(words)), said)
    notes.error(
        "not-toml",
        ("toml",),
        f"This is not TOML{column}: {said[0].lower()}{said[1:]}.",
        'Texts stand in "quotes", lists in [brackets], tables in { braces }.',
    )


def name_of(table: dict[str, Any], path: Path) -> str:
    """What a person calls the place: "Part leg: count", "Size height", "Hardware 2: name", "The recipe"."""
    if not path:
        return "The recipe"
    first, *rest = [str(step) for step in path]
    if not rest or (first != "size" and not isinstance(path[1], int)):
        return shortened(" ".join((first, *rest)))
    thing = f"{KINDS.get(first, first.capitalize())} {shortened(id_at(table[first], path[1]))}"
    inner = ".".join(str(step + 1) if isinstance(step, int) else step for step in path[2:])
    return f"{thing}: {shortened(inner)}" if inner else thing


def id_at(rows: Any, step: str | int) -> str:
    """A size's name; a row's id, else its number, from 1."""
    row = rows[step] if isinstance(step, int) else None
    id = row.get("id") if isinstance(row, dict) else None
    if isinstance(id, str):
        return id
    return str(step + 1) if isinstance(step, int) else step
