"""What the trade's rules are given: a compiled recipe without errors, and where to put findings."""

from collections.abc import Sequence
from functools import cached_property

from msgspec import Struct

from benchbell.recipe.coat_text import CoatText
from benchbell.recipe.coats import Coat, stages_of, step_names, table_path, tables_of
from benchbell.recipe.finding_list import FindingList, Slip
from benchbell.recipe.holds import Contents
from benchbell.recipe.measure import TIME, show
from benchbell.recipe.named_sizes import FormulaScope
from benchbell.recipe.pieces import copy_names
from benchbell.recipe.sheet import ClockKind, ClockSpec, Operation, Sheet
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.solids.contacts import Contact, contacts
from benchbell.recipe.solids.faults import run_through
from benchbell.recipe.solids.layout import LaidPart
from benchbell.recipe.steaming import bends
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.veneering import Veneering, all_veneering
from benchbell.recipe.written import OperationText, Recipe


class RuleContext(Struct, frozen=True, dict=True):
    """What every rule is given: the recipe as written, its sheet, the shop, and the list that findings go into.

    laid: the parts of a piece where they lie, with the drawing's sizes.
    """

    recipe: Recipe
    sheet: Sheet
    shop: ShopProfile
    scope: FormulaScope
    contents: Contents
    findings: FindingList
    laid: Sequence[LaidPart] = ()

    @cached_property
    def contacts(self) -> list[Contact]:
        """Which of the laid parts touch or share room."""
        return contacts(self.laid)

    @cached_property
    def stuck(self) -> list[Contact]:
        """The contacts of parts that run through each other."""
        return run_through(self.laid, self.contacts)

    @cached_property
    def laid_numbers(self) -> dict[str, int]:
        """By a laid part's name, its number among them."""
        return {part.name: number for number, part in enumerate(self.laid)}

    def laid_in(self, id: str) -> list[int]:
        """The numbers of the laid parts in a part or assembly of the first piece."""
        names = (one.rpartition("/")[2] for one in self.contents.get(id, (id,)))
        return [self.laid_numbers[name] for name in names if name in self.laid_numbers]

    def joined_in(self, op: Operation) -> list[int]:
        """The numbers of the laid parts that an operation joins."""
        return [number for id in op.parts for number in self.laid_in(id)]

    @cached_property
    def contacts_by_part(self) -> list[list[Contact]]:
        """By the number of a laid part, its contacts."""
        found: list[list[Contact]] = [[] for _ in self.laid]
        for one in self.contacts:
            found[one.a].append(one)
            found[one.b].append(one)
        return found

    @cached_property
    def glue_ups(self) -> list[Operation]:
        """The operations of the first piece that glue parts to an assembly."""
        return [op for op in self.first_piece if op.glue and op.makes]

    def warn_part(self, rule: str, part: str, what: str, next_step: str) -> None:
        """Add a warning about how a part lies. part: its id in the recipe."""
        row = next(row for row, written in enumerate(self.recipe.part) if written.id == part)
        self.findings.warn(rule, ("part", row, "lies"), what, next_step)

    @cached_property
    def veneering(self) -> dict[str, Veneering]:
        """By id of an operation that lays veneer, what it lays."""
        operations = {op.id: op for op in self.sheet.operations}
        return all_veneering(operations, self.contents, {part.id: part for part in self.sheet.parts})

    @cached_property
    def bends(self) -> dict[str, dict[str, str | None]]:
        """By id of an operation that steams, and by part of it, that of the one that bends it."""
        steams = {op.id for op in self.sheet.operations if self.recipe.operation[self.rows[op.name]].steam}
        return bends(self.sheet.operations, steams, self.contents)

    @cached_property
    def rows(self) -> dict[str, int]:
        """By an operation's name, its row in the recipe."""
        return {name: row for row, written in enumerate(self.recipe.operation) for name in step_names(written)}

    @cached_property
    def first_piece(self) -> list[Operation]:
        """The operations of the first piece and of the whole build, in order. Those of other pieces are alike."""
        return [op for op in self.sheet.operations if op.piece in ("", self.sheet.pieces[0])]

    @cached_property
    def _coats(self) -> dict[str, Coat]:
        stages = (stage for written in self.recipe.operation for stage in stages_of(written))
        return {stage.name: stage.coat for stage in stages if stage.coat and not stage.sands}

    @cached_property
    def _after(self) -> dict[str, tuple[str, ...]]:
        return {op.id: op.after for op in self.sheet.operations}

    def all_before(self, op: Operation) -> set[str]:
        """The ids of all operations that must be done before this one, directly or through others."""
        found: set[str] = set()
        to_visit = list(op.after)
        while to_visit:
            earlier = to_visit.pop()
            if earlier not in found:
                found.add(earlier)
                to_visit += self._after[earlier]
        return found

    def path(self, op: Operation, *keys: str) -> Path:
        """The place in the file of an operation, or of a key of it."""
        return ("operation", self.rows[op.name], *keys)

    def written(self, op: Operation) -> OperationText:
        """The operation as written."""
        return self.recipe.operation[self.rows[op.name]]

    def coat_of(self, op: Operation) -> Coat:
        """Which of its operation's coats an operation puts on. Raises KeyError when it puts on none."""
        return self._coats[op.name]

    def table_of(self, op: Operation) -> CoatText:
        """The table of `coat` by which an operation puts on its coat."""
        return tables_of(self.written(op))[self.coat_of(op).table]

    def warn_coat(self, rule: str, op: Operation, what: str, next_step: str) -> None:
        """Add a warning about the table of `coat` of an operation."""
        path = table_path(self.written(op), self.rows[op.name], self.coat_of(op).table)
        self.findings.warn(rule, path, f"Operation {self.written(op).id} {what}", next_step)

    def warn(
        self,
        rule: str,
        op: Operation,
        what: str,
        next_step: str,
        *keys: str,
        part: str = "",
        slip: Slip | None = None,
    ) -> None:
        """Add a warning about an operation. what: follows its name in the sentence. part: the name of a part, or of one
        of its copies, or of an assembly, for which alone it may be accepted. slip: see About.
        """
        what = f"Operation {self.written(op).id} {what}"
        self.findings.warn(rule, self.path(op, *keys), what, next_step, self.ids_of_copies.get(part, part), slip)

    @cached_property
    def ids_of_copies(self) -> dict[str, str]:
        """By the name of each copy of a part, the part's id in the recipe."""
        return {name: part.id for part in self.recipe.part for name in copy_names(part)}


def clock_of(op: Operation, kind: ClockKind) -> ClockSpec | None:
    """The operation's clock of that kind, or None."""
    return next((clock for clock in op.clocks if clock.kind == kind), None)


def text_of(op: Operation) -> str:
    """All that an operation says."""
    return " ".join((op.title, *op.do, *op.needs, *op.checks))


def short_id(id: str) -> str:
    """An id without its piece: "case" for "A/case"."""
    return id.rpartition("/")[2]


def time_text(minutes: float) -> str:
    """Minutes as text, such as "1 h 30 min"."""
    return show(minutes, TIME, "mm")
