"""What a text of a recipe becomes when it is written out: rows and sizes with the recipe's names, each in its place."""

from collections.abc import Mapping
from typing import Any

from msgspec import Struct, field

from benchbell.findings import Use
from benchbell.recipe.choices import Answer
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.names_in_text import sizes_in
from benchbell.recipe.prefixes import prefixed, size_prefix
from benchbell.recipe.read import FORM
from benchbell.recipe.settled import Settled
from benchbell.recipe.text_roles import Role, with_texts
from benchbell.recipe.toml_positions import Path

ROWS = ("part", "setup", "fixture", "operation", "hardware", "consumable")


class Row(Struct, frozen=True):
    """A part, setup, operation or item of the recipe written out. order: of an operation among those of its text."""

    table: dict[str, Any]
    findings: FindingList
    path: Path
    order: tuple[int, ...] = ()


class Accepted(Struct, frozen=True):
    """Warnings that a text accepts wherever in it they occur: its `accept` with all names as the recipe knows them, and
    the text's findings.
    """

    reasons: Mapping[str, str | dict[str, str]]
    findings: FindingList


class Expanded(Struct):
    """What a text brings, with all names as the recipe knows them. head: title, units and so on.

    accepted: by who uses a text, () for the recipe, the warnings that all of it accepts. sizes: each with the place
    where it is written. named: those that the texts name anywhere, in conditions too.
    """

    head: dict[str, Any] = field(default_factory=dict)
    rows: dict[str, list[Row]] = field(default_factory=lambda: {kind: [] for kind in ROWS})
    sizes: dict[str, tuple[Any, FindingList, Path]] = field(default_factory=dict)
    named: set[str] = field(default_factory=set)
    accepted: dict[tuple[Use, ...], Accepted] = field(default_factory=dict)


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


def places_of(expanded: Expanded) -> dict[Path, tuple[FindingList, Path]]:
    """By place in the recipe written out, the text it comes from and its place there."""
    rows = {
        (kind, number): (row.findings, row.path)
        for kind, of_kind in expanded.rows.items()
        for number, row in enumerate(of_kind)
    }
    return rows | {("size", name): (findings, path) for name, (_, findings, path) in expanded.sizes.items()}


def take_in(expanded: Expanded, used: Expanded, n: int, name: str, findings: FindingList) -> None:
    """Add what a fragment brings, its operations left out."""
    for kind in ("part", "setup", "fixture", "hardware", "consumable"):
        expanded.rows[kind] += used.rows[kind]
    for size in used.sizes.keys() & expanded.sizes.keys():
        what = f"Use {name} brings a size {size}, which is there already."
        findings.error("twice", ("use", n), what, "Use it as something else, or give the size another name.")
    expanded.sizes |= used.sizes
    expanded.named |= used.named
    expanded.accepted |= used.accepted


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
    kept = sizes_in(
        expanded.head | {kind: [row.table for row in of_kind] for kind, of_kind in expanded.rows.items()}, named
    )
    uses = {name: sizes_in({"size": {name: size}}, named) for name, (size, _, _) in expanded.sizes.items()}
    while gone := named - kept - set().union(*uses.values()):
        named -= gone
        for name in gone:
            del expanded.sizes[name], uses[name]


def renamed(kind: str, table: dict[str, Any], frame: Frame) -> dict[str, Any]:
    """A row, or a table of sizes or of accepted warnings, with its names as the recipe knows them."""

    def change(text: str, role: Role, _: Path) -> Any:
        return prefixed(text, role, frame.prefix)

    if not frame.prefix:
        return table
    alone = kind in ("size", "accept")
    changed = with_texts({kind: table if alone else [table]}, FORM, change)[kind]
    return dict(changed if alone else changed[0])
