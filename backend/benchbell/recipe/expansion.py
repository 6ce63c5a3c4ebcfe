"""A recipe written out: with what was chosen, without what that leaves out, and with its fragments in their places.

It works on the tables read from TOML, so that everything after it knows neither choices nor fragments.
"""

from collections.abc import Mapping
from itertools import groupby
from typing import Any

import msgspec
from msgspec import Struct, field
from msgspec.structs import replace

from benchbell.findings import Use
from benchbell.recipe.choices import Answer, answers_of
from benchbell.recipe.finding_list import FindingList, use_one_of
from benchbell.recipe.formula import Macro
from benchbell.recipe.fragment_inputs import inputs_of
from benchbell.recipe.left_out import without_left_out
from benchbell.recipe.names_in_text import check_choices_used, sizes_in
from benchbell.recipe.prefixes import prefixed, size_prefix
from benchbell.recipe.read import FORM, is_in_form, read
from benchbell.recipe.settled import Settled, settled
from benchbell.recipe.sheet import Choice
from benchbell.recipe.text_roles import Role, with_texts
from benchbell.recipe.toml_positions import Path, line_at
from benchbell.recipe.written import Recipe

MOST_DEPTH = 8
"""The most fragments inside one another."""

MOST_USES = 200
"""The most uses of fragments in a recipe, those inside fragments counted too."""

ROWS = ("part", "setup", "operation", "hardware", "consumable")


class FragmentText(Struct, frozen=True):
    """A fragment's text, and its file's name for findings."""

    file: str
    text: str


Fragments = Mapping[str, FragmentText]
"""The fragments that a recipe may use, by name."""


class WrittenOut(Struct, frozen=True):
    """A recipe without choices and fragments. choices: with what was chosen. from_fragments: ids of their setups."""

    recipe: Recipe
    choices: tuple[Choice, ...]
    from_fragments: frozenset[str]


class Row(Struct, frozen=True):
    """A part, setup, operation or item of the recipe written out. order: of an operation among those of its text."""

    table: dict[str, Any]
    findings: FindingList
    path: Path
    order: tuple[int, ...] = ()


class Expanded(Struct):
    """What a text brings, with all names as the recipe knows them. head: title, units and so on.

    sizes: each with the place where it is written. named: those that the texts name anywhere, in conditions too.
    """

    head: dict[str, Any] = field(default_factory=dict)
    rows: dict[str, list[Row]] = field(default_factory=lambda: {kind: [] for kind in ROWS})
    sizes: dict[str, tuple[Any, FindingList, Path]] = field(default_factory=dict)
    named: set[str] = field(default_factory=set)


class Expander(Struct):
    """What the expansion of a recipe and of all its fragments share.

    read_before: by fragment, its table, None with errors, and its lines.
    """

    fragments: Fragments
    functions: Mapping[str, Macro]
    read_before: dict[str, tuple[dict[str, Any] | None, dict[Path, int]]] = field(default_factory=dict)
    uses: int = 0


class Frame(Struct, frozen=True):
    """One text at one place. prefix: in front of its ids. inside: the fragments around it.

    after, after_by_own: operations before its first ones, and before single ones: see UseText.
    """

    table: dict[str, Any]
    findings: FindingList
    answers: dict[str, Answer]
    words: str
    prefix: str = ""
    inside: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    after_by_own: Mapping[str, tuple[str, ...]] = {}


def written_out(
    text: str,
    findings: FindingList,
    functions: Mapping[str, Macro],
    given: Mapping[str, str],
    fragments: Fragments,
) -> WrittenOut | None:
    """The recipe in a text, written out; None when it has errors. given: answers to its choices, by name."""
    of_text = FindingList(findings.file, findings.lines, findings.found)
    table = read(text, of_text)
    if table is None:
        return None
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
    return WrittenOut(msgspec.convert(whole, Recipe), choices, from_fragments)


def places_of(expanded: Expanded) -> dict[Path, tuple[FindingList, Path]]:
    """By place in the recipe written out, the text it comes from and its place there."""
    rows = {
        (kind, number): (row.findings, row.path)
        for kind, of_kind in expanded.rows.items()
        for number, row in enumerate(of_kind)
    }
    return rows | {("size", name): (findings, path) for name, (_, findings, path) in expanded.sizes.items()}


def expand(frame: Frame, expander: Expander) -> Expanded:
    """A text written out, with its names as the recipe knows them."""
    check_choices_used(frame.table, frame.findings)
    whole = settled(frame.table, frame.answers, frame.words, expander.functions, frame.findings)
    text = without_left_out(whole, frame.findings)
    expanded = Expanded(text.head)
    add_sizes(expanded, text, frame)
    for kind in ("part", "setup", "hardware", "consumable"):
        expanded.rows[kind] = [
            Row(renamed(kind, table, frame), frame.findings, (kind, n)) for n, table in text.rows[kind]
        ]
    operations, uses = dict(text.rows["operation"]), dict(text.rows["use"])
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
        names = use_one_of(use["fragment"], expander.fragments)
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
        known = use_one_of(name, [operation["id"] for operation in table["operation"]])
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


def take_in(expanded: Expanded, used: Expanded, n: int, name: str, findings: FindingList) -> None:
    """Add what a fragment brings, its operations left out."""
    for kind in ("part", "setup", "hardware", "consumable"):
        expanded.rows[kind] += used.rows[kind]
    for size in used.sizes.keys() & expanded.sizes.keys():
        what = f"Use {name} brings a size {size}, which is there already."
        findings.error("twice", ("use", n), what, "Use it as something else, or give the size another name.")
    expanded.sizes |= used.sizes
    expanded.named |= used.named


def add_sizes(expanded: Expanded, text: Settled, frame: Frame) -> None:
    """Add the text's own sizes, and its choices that formulas may use."""
    front = size_prefix(frame.prefix)
    expanded.named |= {front + name for name in (*text.named, *frame.answers)}
    for name, answer in frame.answers.items():
        if name in text.sizes:
            what = f"There are both a choice and a size {name}."
            frame.findings.error("twice", ("size", name), what, "Give each its own name.")
        if answer.value is not None:
            plain = answer.choice.value if answer.choice.kind == "size" else f"{answer.value.value:g}"
            expanded.sizes[front + name] = (answer.formula or plain, frame.findings, ("choice", name))
    for name, size in text.sizes.items():
        table = renamed("size", {name: size}, frame)
        expanded.sizes[front + name] = (table[front + name], frame.findings, ("size", name))


def drop_consumed(expanded: Expanded) -> None:
    """Take out the sizes that were named and that nothing uses any more: what stood for a number or in a condition is
    settled, and what only left out things used is not needed.
    """
    named = expanded.named & expanded.sizes.keys()
    kept = sizes_in({kind: [row.table for row in of_kind] for kind, of_kind in expanded.rows.items()}, named)
    uses = {name: sizes_in({"size": {name: size}}, named) for name, (size, _, _) in expanded.sizes.items()}
    while gone := named - kept - set().union(*uses.values()):
        named -= gone
        for name in gone:
            del expanded.sizes[name], uses[name]


def renamed(kind: str, table: dict[str, Any], frame: Frame) -> dict[str, Any]:
    """A row, or a table of sizes, with its names as the recipe knows them."""

    def change(text: str, role: Role, _: Path) -> Any:
        return prefixed(text, role, frame.prefix)

    if not frame.prefix:
        return table
    whole = {kind: table if kind == "size" else [table]}
    changed = with_texts(whole, FORM, change)[kind]
    return dict(changed if kind == "size" else changed[0])
