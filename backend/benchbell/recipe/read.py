"""TOML text to a recipe as written, with findings by line. Reading goes on as far as it can."""

import re
import tomllib
from typing import Any, TypeVar

import msgspec

from benchbell.recipe.lines import Path, lines_of
from benchbell.recipe.notes import Notes
from benchbell.recipe.written import ItemText, OperationText, PartText, Recipe, SetupText

MOST_BYTES = 1_000_000

ROWS: dict[str, type] = {
    "part": PartText,
    "setup": SetupText,
    "operation": OperationText,
    "hardware": ItemText,
    "consumable": ItemText,
}

T = TypeVar("T")

_place = re.compile(r" - at `\$\.?(.*?)`$")
_toml_line = re.compile(r"\(at line (\d+), column (\d+)\)")
_unknown_key = re.compile(r"Object contains unknown field `(\w+)`")


def read(text: str, file: str) -> tuple[Recipe | None, Notes]:
    """The recipe and what is to be said about its form; None when it cannot be made out."""
    notes = Notes(file, {}, [])
    if len(text.encode()) > MOST_BYTES:
        notes.error(
            "too-long",
            (),
            f"The recipe has {len(text.encode()):,} bytes, more than {MOST_BYTES:,}.",
            "Split it into several recipes.",
        )
        return None, notes
    try:
        table = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        not_toml(notes, str(error))
        return None, notes
    notes.lines = lines_of(text)
    return to_recipe(table, notes), notes


def not_toml(notes: Notes, message: str) -> None:
    """A finding for text that is not TOML."""
    found = _toml_line.search(message)
    notes.lines[("toml",)] = int(found[1]) if found else 1
    said = _toml_line.sub("", message).strip() or "it is nested too deeply"
    column = f" at column {found[2]}" if found else ""
    notes.error(
        "not-toml", ("toml",), f"This is not TOML{column}: {said}.", 'Texts stand in "quotes"; lists in [brackets].'
    )


def to_recipe(table: dict[str, Any], notes: Notes) -> Recipe | None:
    """The table as a recipe, or None with a finding for each row that does not fit."""
    for name, form in ROWS.items():
        rows = table.get(name)
        for number, row in enumerate(rows if isinstance(rows, list) else []):
            fits(row, form, (name, number), table, notes)
    return fits(table, Recipe, (), table, notes) if notes.sound else None


def fits(value: Any, form: type[T], at: Path, table: dict[str, Any], notes: Notes) -> T | None:
    """The value in that form, or None with a finding that names where it does not fit."""
    try:
        return msgspec.convert(value, form)
    except msgspec.ValidationError as error:
        message = str(error)
        place = _place.search(message)
        path = (*at, *(path_in(place[1]) if place else ()))
        said = _place.sub("", message)
        what, next_step = said_plainly(said)
        notes.error("form", path_of_key(path, said), f"{name_of(table, path)}: {what}", next_step)
        return None


def path_in(place: str) -> Path:
    """msgspec's `operation[2].glue` as a path."""
    steps: list[str | int] = []
    for name, number in re.findall(r"([^.\[\]]+)|\[(\d*)\]", place):
        steps.append(int(number) if number else name)
    return tuple(steps)


def path_of_key(path: Path, said: str) -> Path:
    """The path, down to the unknown key when that is what is wrong."""
    unknown = _unknown_key.match(said)
    return (*path, unknown[1]) if unknown else path


def said_plainly(said: str) -> tuple[str, str]:
    """msgspec's words as a sentence and a next step."""
    if unknown := _unknown_key.match(said):
        return f"the word “{unknown[1]}” is not known here.", "Correct it or take it out."
    if missing := re.match(r"Object missing required field `(\w+)`", said):
        return f"“{missing[1]}” is missing.", f"Add {missing[1]} = …"
    if "matching regex" in said:
        return (
            "this name has other characters than small letters, digits and hyphens.",
            "Write it like leg or front-rail.",
        )
    words = {
        "`str`": "text",
        "`int`": "a whole number",
        "`float`": "a number",
        "`array`": "a list",
        "`object`": "a table",
    }
    for word, plain in words.items():
        said = said.replace(word, plain)
    return said[0].lower() + said[1:] + ".", 'Write texts and sizes in "quotes", counts and minutes as numbers.'


def name_of(table: dict[str, Any], path: Path) -> str:
    """What the person calls the thing at a path: its id, else where it stands."""
    if len(path) >= 2 and isinstance(path[1], int):
        rows = table.get(str(path[0]))
        row = rows[path[1]] if isinstance(rows, list) and path[1] < len(rows) else None
        if isinstance(row, dict) and isinstance(row.get("id"), str):
            return str(row["id"])
        return f"{path[0]} {path[1] + 1}"
    return str(path[-1]) if path else "The recipe"
