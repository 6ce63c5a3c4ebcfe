"""A recipe written out: with what was chosen, without what that leaves out, and with its fragments in their places.

It works on the tables read from TOML, so that everything after it knows neither choices nor fragments.
"""

from collections.abc import Mapping
from itertools import groupby
from typing import Any

import msgspec
from msgspec import Struct, field
from msgspec.structs import replace

from benchbell.findings import Use, use_one_of
from benchbell.recipe.choices import answers_of
from benchbell.recipe.expanded import (
    Accepted,
    Expanded,
    Frame,
    Row,
    add_sizes,
    drop_consumed,
    places_of,
    renamed,
    take_in,
)
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.formula import Macro
from benchbell.recipe.fragment_inputs import inputs_of
from benchbell.recipe.left_out import without_left_out
from benchbell.recipe.names_in_text import check_choices_used
from benchbell.recipe.read import is_in_form, read
from benchbell.recipe.settled import Settled, settled
from benchbell.recipe.sheet import Choice
from benchbell.recipe.toml_positions import Path, line_at
from benchbell.recipe.unitless import with_units
from benchbell.recipe.written import Recipe

MOST_DEPTH = 8
"""The most fragments inside one another."""

MOST_USES = 200
"""The most uses of fragments in a recipe, those inside fragments counted too."""


class FragmentText(Struct, frozen=True):
    """A fragment's text, and its file's name for findings."""

    file: str
    text: str


Fragments = Mapping[str, FragmentText]
"""The fragments that a recipe may use, by name."""


class WrittenOut(Struct, frozen=True):
    """A recipe without choices and fragments. choices: with what was chosen. from_fragments: ids of their setups.

    accepted: by who uses a text, () for the recipe, the warnings that all of it accepts.
    """

    recipe: Recipe
    choices: tuple[Choice, ...]
    from_fragments: frozenset[str]
    accepted: Mapping[tuple[Use, ...], Accepted]


class Expander(Struct):
    """What the expansion of a recipe and of all its fragments share.

    read_before: by fragment, its table, None with errors, and its lines.
    """

    fragments: Fragments
    functions: Mapping[str, Macro]
    read_before: dict[str, tuple[dict[str, Any] | None, dict[Path, int]]] = field(default_factory=dict)
    uses: int = 0


def written_out(
    text: str,
    findings: FindingList,
    functions: Mapping[str, Macro],
    given: Mapping[str, str],
    fragments: Fragments,
    units: Mapping[str, str],
) -> WrittenOut | None:
    """The recipe in a text, written out; None when it has errors. given: answers to its choices, by name.

    units: by the name of a size or choice without a unit, the unit that it is tried with.
    """
    of_text = FindingList(findings.file, findings.lines, findings.found)
    table = read(text, of_text)
    if table is None:
        return None
    table = with_units(table, units)
    answers = answers_of(table.get("choice", {}), given, table.get("units", "mm"), of_text)
    title = table["title"]
    frame = Frame(table, of_text, answers, title[0].lower() + title[1:])
    if findings.has_error:
        return None
    expanded = expand(frame, Expander(fragments, functions))
    drop_consumed(expanded)
    whole = dict(expanded.head)
    whole["size"] = {name: size for name, (size, _, _) in expanded.sizes.items()}
    whole |= {kind: [row.table for row in rows] for kind, rows in expanded.rows.items()}
    findings.places = places_of(expanded)
    if findings.has_error or not is_in_form(whole, findings):
        return None
    from_fragments = frozenset(row.table["id"] for row in expanded.rows["setup"] if row.findings is not of_text)
    choices = tuple(answer.choice for answer in answers.values())
    return WrittenOut(msgspec.convert(whole, Recipe), choices, from_fragments, expanded.accepted)


def expand(frame: Frame, expander: Expander) -> Expanded:
    """A text written out, with its names as the recipe knows them."""
    check_choices_used(frame.table, frame.findings)
    whole = settled(frame.table, frame.answers, frame.words, expander.functions, frame.findings)
    text = without_left_out(whole, frame.findings)
    expanded = Expanded(text.head)
    expanded.accepted[frame.findings.used_by] = Accepted(
        renamed("accept", text.head.get("accept", {}), frame), frame.findings
    )
    add_sizes(expanded, text, frame)
    for kind in ("part", "setup", "fixture", "hardware", "consumable"):
        expanded.rows[kind] = [
            Row(renamed(kind, table, frame), frame.findings, (kind, n)) for n, table in text.rows[kind]
        ]
    operations, uses = dict(text.rows["operation"]), with_own_names(text.rows["use"], frame.findings)
    worked: list[tuple[str, list[Row]]] = []
    seen: set[str] = set()
    for order, (kind, n) in enumerate(in_file_order(frame)):
        if kind == "operation" and n in operations:
            table = with_after(operations[n], seen, frame)
            worked.append(("", [Row(table, frame.findings, (kind, n), (order,))]))
        elif kind == "use" and n in uses:
            used = expand_use(n, uses[n], text, frame, expander)
            take_in(expanded, used, n, uses[n]["as"], frame.findings)
            worked.append(
                (uses[n]["fragment"], [replace(row, order=(order, *row.order)) for row in used.rows["operation"]])
            )
    expanded.rows["operation"] = together(worked)
    return expanded


def with_own_names(uses: list[tuple[int, dict[str, Any]]], findings: FindingList) -> dict[int, dict[str, Any]]:
    """The uses by row; a second one of the same name gives a finding and is left out."""
    by_name: dict[str, tuple[int, dict[str, Any]]] = {}
    for n, use in uses:
        if use["as"] in by_name:
            findings.error("twice", ("use", n), f"There are two uses {use['as']}.", "Give each its own name.")
        by_name.setdefault(use["as"], (n, use))
    return dict(by_name.values())


def in_file_order(frame: Frame) -> list[tuple[str, int]]:
    """Operations and uses as they follow each other in the file: the table, and the number of the row in it."""
    order = [("operation", n) for n in range(len(frame.table["operation"]))]
    for n in range(len(frame.table.get("use", []))):
        line = line_at(frame.findings.lines, ("use", n))
        later = (at for at, path in enumerate(order) if line_at(frame.findings.lines, path) > line)
        order.insert(next(later, len(order)), ("use", n))
    return order


def with_after(table: dict[str, Any], seen: set[str], frame: Frame) -> dict[str, Any]:
    """An operation with the recipe's names, and after what the use of its fragment puts before it.

    seen: the parts that earlier operations work on; this one's are added.
    """
    parts = set(table.get("parts", []))
    is_first = not table.get("after") and not parts & seen
    seen |= parts
    own = renamed("operation", table, frame)
    before = (*(frame.after if is_first else ()), *frame.after_by_own.get(table["id"], ()))
    return own | {"after": [*own.get("after", []), *before]} if before else own


def together(worked: list[tuple[str, list[Row]]]) -> list[Row]:
    """All operations in order. Uses of one fragment that follow each other are worked together, operation by operation,
    so that each setup is made once. worked: each operation or use with its fragment's name, or "".
    """
    rows: list[Row] = []
    for fragment, run in groupby(worked, key=lambda one: one[0]):
        uses = [of_use for _, of_use in run]
        if fragment:
            start = uses[0][0].order[0] if uses[0] else 0
            placed = [replace(row, order=(start, *row.order[1:], k)) for k, of_use in enumerate(uses) for row in of_use]
            rows += sorted(placed, key=lambda row: row.order)
        else:
            rows += [row for of_use in uses for row in of_use]
    return rows


def expand_use(n: int, use: dict[str, Any], text: Settled, frame: Frame, expander: Expander) -> Expanded:
    """What a use of a fragment brings: nothing, and a finding, when it cannot be used."""
    expander.uses += 1
    fragment = expander.fragments.get(use["fragment"])
    if fragment is None:
        what = f"Use {use['as']}: there is no fragment {use['fragment']}."
        names = use_one_of(use["fragment"], expander.fragments, "in the folders named fragments")
        frame.findings.error("unknown-name", ("use", n, "fragment"), what, names)
        return Expanded()
    if wrong := too_deep(use["fragment"], frame, expander):
        frame.findings.error("fragment-circle", ("use", n), f"Use {use['as']}: {wrong}", "Take out one use.")
        return Expanded()
    by = Use(use["as"], frame.findings.file, line_at(frame.findings.lines, ("use", n)))
    findings = FindingList(fragment.file, {}, frame.findings.found, (by, *frame.findings.used_by))
    if use["fragment"] not in expander.read_before:
        expander.read_before[use["fragment"]] = read(fragment.text, findings), findings.lines
    table, findings.lines = expander.read_before[use["fragment"]]
    answers = None if table is None else inputs_of(table, n, use, text, frame.prefix, frame.findings)
    if table is None or answers is None:
        return Expanded()
    before = use.get("after", [])
    by_own = before if isinstance(before, dict) else {}
    for name in by_own.keys() - {operation["id"] for operation in table["operation"]}:
        what = f"Use {use['as']}: {use['fragment']} has no operation {name}."
        known = use_one_of(name, [operation["id"] for operation in table["operation"]], "in the fragment")
        frame.findings.error("unknown-name", ("use", n, "after"), what, known)
    used = Frame(
        table=table,
        findings=findings,
        answers=answers,
        words=use.get("title") or use["as"].replace("-", " "),
        prefix=f"{frame.prefix}{use['as']}-",
        inside=(*frame.inside, use["fragment"]),
        after=(*(frame.prefix + name for name in before if not by_own), *frame.after),
        after_by_own={own: tuple(frame.prefix + name for name in names) for own, names in by_own.items()},
    )
    return expand(used, expander)


def too_deep(fragment: str, frame: Frame, expander: Expander) -> str:
    """Why the fragment cannot be used here, a sentence; "" when it can."""
    if fragment in frame.inside:
        circle = [*frame.inside[frame.inside.index(fragment) :], fragment]
        return f"{circle[0]} would be inside itself: {' uses '.join(circle)}."
    if len(frame.inside) >= MOST_DEPTH:
        return f"it would be the {MOST_DEPTH + 1}th fragment inside one another, more than {MOST_DEPTH}."
    return f"it is one of more than {MOST_USES} uses of fragments." if expander.uses > MOST_USES else ""
