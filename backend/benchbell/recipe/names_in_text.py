"""Which sizes and choices the texts of a recipe name."""

import re
from collections.abc import Collection, Mapping
from typing import Any

from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.named_sizes import names_used
from benchbell.recipe.read import FORM
from benchbell.recipe.text_roles import Role, with_texts
from benchbell.recipe.toml_positions import Path

Rows = dict[str, list[tuple[int, dict[str, Any]]]]
"""By table, its rows, each with its number in the text."""

BRACES = re.compile(r"\{([a-z][a-z0-9_]*)\}")
"""The name of a choice in a text for people."""

_word = re.compile(r"[a-z][a-z0-9_]*")


def sizes_in(table: Mapping[str, Any], known: Collection[str]) -> set[str]:
    """The known names that a table of a recipe uses in formulas and conditions, in measure or in show."""
    found: set[str] = set()

    def look(text: str, role: Role, path: Path) -> str:
        if role in ("formula", "number", "place"):
            found.update(names_used(text, known))
        elif role == "condition":
            found.update(word for word in _word.findall(text) if word in known)
        elif role == "size" and path[0] != "size" and text in known:
            found.add(text)
        return text

    with_texts(table, FORM, look)
    return found


def check_choices_used(table: Mapping[str, Any], findings: FindingList) -> None:
    """Add a warning for each choice of a text that nothing in it depends on."""
    choices = table.get("choice", {})
    if not choices:
        return
    bare = {key: value for key, value in table.items() if key != "choice"}
    used = sizes_in(bare, choices)

    def look(text: str, role: Role, _: Path) -> str:
        used.update(BRACES.findall(text))
        return text

    with_texts(bare, FORM, look)
    for name in choices:
        if name not in used:
            findings.warn("unused", ("choice", name), f"Choice {name} changes nothing.", "Use it, or take it out.")
