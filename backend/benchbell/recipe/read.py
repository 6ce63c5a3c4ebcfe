"""A recipe's text, read as far as it stands alone. All errors of its form are found at once, each with its line."""

import re
import tomllib
from itertools import islice
from typing import Any

from msgspec.inspect import type_info

from benchbell.recipe.finding_list import FindingList, shortened
from benchbell.recipe.form import form_errors
from benchbell.recipe.named_sizes import names_used
from benchbell.recipe.text_roles import Role, with_texts
from benchbell.recipe.toml_positions import Path, lines_of
from benchbell.recipe.written import Recipe

MOST_BYTES = 1_000_000
MOST_DOTS = 50
"""The most dots in one key: the time tomllib takes grows with their square."""

MOST_FORM_ERRORS = 200
"""The most errors of form that are listed for one recipe."""

KINDS = {"part": "Part", "setup": "Setup", "operation": "Operation", "size": "Size", "choice": "Choice", "use": "Use"}

NAMED_TABLES = ("size", "choice")
"""Tables whose keys are names that the maker chooses."""

IN_PLAIN_WORDS = {
    r"Illegal character '\n'": "A text is not closed on its line",
    "Cannot overwrite a value": "This key is there twice",
    "Cannot declare": "This table is there twice",
    "Invalid value": "A value is missing, or a text stands without quotes",
    "Invalid statement": "This is not a key with its value, and not a table",
}
"""By the beginning of tomllib's message, the words for a maker who does not know TOML's rules."""

FORM = type_info(Recipe)
_byte_order_mark = "\ufeff"
_long_key = re.compile(rf"(?<![\w\"'-])(?:[\w\"'-]++[ \t]*+\.[ \t]*+){{{MOST_DOTS}}}")
_place = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)")


def read(text: str, findings: FindingList) -> dict[str, Any] | None:
    """A recipe's text as a table in its form, with its lines put into `findings`; None when it has errors.

    A text where a number belongs may stand if it uses a size or choice of the recipe: expansion.py evaluates it.
    """
    text = text.removeprefix(_byte_order_mark)
    table = table_of(text, findings)
    if table is None:
        return None
    findings.lines |= lines_of(text)
    return table if is_in_form(with_numbers(table), findings) else None


def with_numbers(table: dict[str, Any]) -> Any:
    """The table with 1 in place of each formula that stands where a number belongs."""
    named = {name for key in ("size", "choice") if isinstance(table.get(key), dict) for name in table[key]}

    def change(text: str, role: Role, _: Path) -> Any:
        return 1 if role == "number" and names_used(text, named) else text

    return with_texts(table, FORM, change) if named else table


def is_in_form(table: dict[str, Any], findings: FindingList) -> bool:
    """Whether a table has the form of a recipe; adds a finding for each place where it has not."""
    errors = list(islice(form_errors(table, FORM), MOST_FORM_ERRORS))
    for error in errors:
        findings.error("form", error.path, f"{name_of(table, error.path)} {error.what}", error.next_step)
    return not errors


def table_of(text: str, findings: FindingList) -> dict[str, Any] | None:
    """The text as a table; None, and a finding, when it is too long or not TOML."""
    size = len(text.encode(errors="replace"))
    if size > MOST_BYTES:
        what = f"The recipe has more than {MOST_BYTES:,} bytes."
        findings.error("too-long", (), what, "Split it into several recipes.")
        return None
    try:
        require_readable(text)
        return tomllib.loads(text)
    except RecursionError:
        not_toml(text, "It is nested too deeply", findings)
    except tomllib.TOMLDecodeError as error:
        not_toml(text, str(error), findings)
    except ValueError:  # Python does not read a number of more than 4300 digits
        not_toml(text, "It has a number with too many digits", findings)
    return None


def require_readable(text: str) -> None:
    """Raises TOMLDecodeError when the text has a lone surrogate, which tomllib accepts, or a key with too many dots."""
    if found := re.search("[\ud800-\udfff]", text):
        raise tomllib.TOMLDecodeError(f"It has a broken character (at line {line_of(text, found)}, column 1)")
    if found := _long_key.search(text):
        raise tomllib.TOMLDecodeError(f"It has a key with too many dots (at line {line_of(text, found)}, column 1)")


def line_of(text: str, found: re.Match[str]) -> int:
    """The line, from 1, in which a match begins."""
    return text.count("\n", 0, found.start()) + 1


def not_toml(text: str, message: str, findings: FindingList) -> None:
    """Add a finding for text that is not TOML. message: tomllib's, with the place at its end."""
    found = _place.search(message)
    last = text.count("\n") + 1
    findings.lines[("toml",)] = 1 if found is None else int(found[1] or last)
    column = f" at column {found[2]}" if found and found[2] else ""
    reason = _place.sub("", message)
    reason = next((plain for words, plain in IN_PLAIN_WORDS.items() if reason.startswith(words)), reason)
    findings.error(
        "not-toml",
        ("toml",),
        f"This is not TOML{column}: {reason[0].lower()}{reason[1:]}.",
        'Put texts in "quotes", lists in [brackets] and tables in { braces }.',
    )


def name_of(table: dict[str, Any], path: Path) -> str:
    """A place in words: "Part leg: count", "Size height", "Hardware 2: name", "The recipe"."""
    if not path:
        return "The recipe"
    first, *rest = [str(step) for step in path]
    if not rest or (first not in NAMED_TABLES and not isinstance(path[1], int)):
        return shortened(" ".join((first, *rest)))
    thing = f"{KINDS.get(first, first.capitalize())} {shortened(id_at(table[first], path[1]))}"
    inner = ".".join(str(step + 1) if isinstance(step, int) else step for step in path[2:])
    return f"{thing}: {shortened(inner)}" if inner else thing


def id_at(rows: Any, step: str | int) -> str:
    """A size's name; the id of a row, or its number from 1 when it has none."""
    row = rows[step] if isinstance(step, int) else None
    id = row.get("id", row.get("as")) if isinstance(row, dict) else None
    if isinstance(id, str):
        return id
    return str(step + 1) if isinstance(step, int) else step
