"""What choices leave out is left out of every list that names it, and so are setups that only it used."""

from collections.abc import Iterable
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from benchbell.recipe.coats import names_in_table
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.names_in_text import Rows
from benchbell.recipe.prefixes import size_prefix
from benchbell.recipe.settled import Settled


class Gone(Struct, frozen=True):
    """Names that the choices leave out. uses: what stands in front of every name of a fragment that is left out."""

    names: frozenset[str]
    uses: tuple[str, ...]

    def has(self, name: str) -> bool:
        """Whether the name is that of something left out."""
        return name in self.names or name.startswith(self.uses)


def without_left_out(text: Settled, findings: FindingList) -> Settled:
    """The text in which nothing names what is left out. An operation that has nothing left to work on is a finding."""
    gone = gone_names(text)
    operations = [(n, remaining(row, n, gone, findings)) for n, row in text.rows["operation"]]
    parts = [(n, with_mates_left(row, gone)) for n, row in text.rows["part"]]
    rows = text.rows | {"operation": operations, "part": parts, "setup": needed_setups(text, operations)}
    rows["fixture"] = [(n, with_made_left(row, gone)) for n, row in text.rows["fixture"]]
    rows["operation"] = [(n, with_sizes_left(row, gone)) for n, row in operations]
    kept = {kind: [(n, with_accepted_left(row, gone)) for n, row in of_kind] for kind, of_kind in rows.items()}
    return replace(text, head=with_accepted_left(text.head, gone), rows=kept)


def gone_names(text: Settled) -> Gone:
    """The ids that nothing has any more: of parts and their copies, of assemblies and of operations."""
    gone, there = (set(ids_of(rows)) for rows in (text.gone, text.rows))
    uses = {row["as"] for _, row in text.gone["use"]} - {row["as"] for _, row in text.rows["use"]}
    return Gone(frozenset(gone - there), tuple(f"{name}-" for name in sorted(uses)))


def ids_of(rows: Rows) -> Iterable[str]:
    """The ids that parts, operations, setups and fixtures bring."""
    for _, part in rows["part"]:
        count = part.get("count", 1)
        yield part["id"]
        yield from (f"{part['id']}-{n}" for n in range(1, count + 1 if isinstance(count, int) else 1))
    for _, operation in rows["operation"]:
        yield operation["id"]
        yield from (operation["makes"],) if operation.get("makes") else ()
        yield from names_in_table(operation)
    yield from (row["id"] for kind in ("setup", "fixture") for _, row in rows[kind])


def remaining(row: dict[str, Any], n: int, gone: Gone, findings: FindingList) -> dict[str, Any]:
    """An operation without the names that are left out; a finding when it has no part or no setup left."""
    kept = {key: [name for name in row[key] if not gone.has(name)] for key in ("parts", "after") if key in row}
    if row.get("parts") and not kept["parts"]:
        what = f"Operation {row['id']} works on {row['parts'][0]}, which is left out by what was chosen."
        next_step = f'Give it the same when = "…" as {row["parts"][0]}.'
        findings.error("left-out", ("operation", n, "parts"), what, next_step)
    if row.get("setup") and gone.has(row["setup"]):
        what = f"Operation {row['id']} has the setup {row['setup']}, which is left out by what was chosen."
        next_step = "Write one with the same id for this choice, or take out its when."
        findings.error("left-out", ("operation", n, "setup"), what, next_step)
    held = {name: count for name, count in row.get("fixtures", {}).items() if not gone.has(name)}
    return row | kept | ({"fixtures": held} if "fixtures" in row else {})


def with_accepted_left(row: dict[str, Any], gone: Gone) -> dict[str, Any]:
    """A row, or the head of a text, that accepts nothing for parts that are left out."""
    if "accept" not in row:
        return row
    kept = {
        rule: reasons
        if isinstance(reasons, str)
        else {part: why for part, why in reasons.items() if not gone.has(part)}
        for rule, reasons in row["accept"].items()
    }
    return row | {"accept": {rule: reasons for rule, reasons in kept.items() if reasons}}


def with_made_left(row: dict[str, Any], gone: Gone) -> dict[str, Any]:
    """A fixture without the parts that are left out."""
    return row | {"made": [name for name in row["made"] if not gone.has(name)]} if "made" in row else row


def with_mates_left(row: dict[str, Any], gone: Gone) -> dict[str, Any]:
    """A part without the mates that are left out."""
    if "mates" not in row:
        return row
    return row | {"mates": [mate for mate in row["mates"] if not gone.has(mate["to"])]}


def needed_setups(text: Settled, operations: Iterable[tuple[int, dict[str, Any]]]) -> list[tuple[int, dict[str, Any]]]:
    """The setups but for those that only operations named that are left out."""
    used = {row.get("setup") for _, row in operations}
    only_gone = {row.get("setup") for _, row in text.gone["operation"]} - used
    return [(n, row) for n, row in text.rows["setup"] if row["id"] not in only_gone]


def with_sizes_left(row: dict[str, Any], gone: Gone) -> dict[str, Any]:
    """An operation that shows and measures no size of a fragment that is left out."""
    fronts = tuple(size_prefix(use) for use in gone.uses)
    keys = [key for key in ("measure", "show") if key in row]
    return row | {key: [name for name in row[key] if not name.startswith(fronts)] for key in keys}
