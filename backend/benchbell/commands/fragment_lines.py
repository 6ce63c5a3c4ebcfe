"""Fragments for `benchbell names fragment`: each with its title, and one with all that a use of it asks and brings."""

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import msgspec
from msgspec import Struct

from benchbell.findings import Refused, use_one_of
from benchbell.fragment_files import FOLDER, FragmentFiles
from benchbell.recipe.choices import defined, range_text
from benchbell.recipe.sheet import Choice
from benchbell.recipe.written import ChoiceText
from benchbell.settings import shipped_recipes
from benchbell.trade.names import NamedThing
from benchbell.trade.species import species


class FragmentShown(Struct, frozen=True):
    """A fragment as who uses it wants to know it. assemblies, parts, hardware: names without that of the use."""

    name: str
    title: str
    about: str
    choices: tuple[Choice, ...]
    assemblies: tuple[str, ...]
    parts: tuple[str, ...]
    hardware: tuple[str, ...]


def fragment_files() -> FragmentFiles:
    """The fragments in the folder where the command runs, and the shipped ones."""
    return FragmentFiles((Path(), shipped_recipes()))


def fragments_named() -> list[NamedThing]:
    """The files in the folders named fragments: each name, and its title; "" where it cannot be read as TOML."""
    files = fragment_files()
    names = [name for name in files if files.files[name].parent.name == FOLDER]
    return [NamedThing(name, (), title_in(files[name].text)) for name in names]


def title_in(text: str) -> str:
    """A recipe's title; "" when the text is no TOML or has none."""
    try:
        return str(tomllib.loads(text).get("title", ""))
    except tomllib.TOMLDecodeError:
        return ""


def fragment_shown(name: str) -> FragmentShown:
    """The fragment of that name. Raises Refused when there is none, or its file has errors."""
    files = fragment_files()
    if name not in files.files:
        known = [one.name for one in fragments_named()]
        raise Refused(f"There is no fragment {name}.", use_one_of(name, known, "in benchbell names fragment"))
    file = files[name].file
    try:
        table = tomllib.loads(files[name].text)
        choices = tuple(choices_in(table))
        made = (row.get("makes", "") for row in table.get("operation", []))
        return FragmentShown(
            name,
            table["title"],
            str(table.get("about", "")).strip(),
            choices,
            tuple(one for one in made if one),
            tuple(dict.fromkeys(row["id"] for row in table.get("part", []))),
            tuple(dict.fromkeys(row["name"] for row in table.get("hardware", []))),
        )
    except (tomllib.TOMLDecodeError, msgspec.ValidationError, KeyError, TypeError, AttributeError) as error:
        raise Refused(f"The fragment {file} has errors.", f"See them with benchbell check {file}.") from error


def choices_in(table: Mapping[str, Any]) -> Iterator[Choice]:
    """What a fragment asks. Raises Refused or ValidationError for a wrong choice."""
    for name, row in table.get("choice", {}).items():
        yield defined(name, msgspec.convert(row, ChoiceText), table.get("units", "mm"))


def fragment_lines(shown: FragmentShown) -> Iterator[str]:
    """A fragment as text: what it is, its choices with their defaults and ranges, what it makes and takes."""
    yield f"{shown.name}: {shown.title}"
    yield from shown.about.splitlines()
    if shown.choices:
        yield ""
        yield "choices, for set = { … }:"
        yield from (f"  {one.name:18} {one.ask} {one.value}{allowed_text(one)}" for one in shown.choices)
    for what, names in (("makes", shown.assemblies), ("parts", shown.parts)):
        if names:
            yield ""
            yield f'{what}, after the name of its use, as in as = "upper":'
            yield from (f"  upper-{name}" for name in names)
    if shown.hardware:
        yield ""
        yield f"hardware: {', '.join(shown.hardware)}"


def allowed_text(choice: Choice) -> str:
    """What else a choice may be: " (from 14 in to 24 in)"; "" when all is allowed."""
    if choice.kind == "yes-no":
        return " (yes or no)"
    if choice.kind == "one-of":
        return " (any wood)" if set(species()) <= set(choice.among) else f" ({', '.join(choice.among)})"
    return f" ({range_text(choice)})" if choice.least or choice.most else ""
