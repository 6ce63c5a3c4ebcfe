"""A compiled recipe without errors, as the trade's rules look at it."""

from functools import cached_property

from msgspec import Struct

from benchbell.recipe.holds import Inside
from benchbell.recipe.measure import TIME, show
from benchbell.recipe.named_sizes import Names
from benchbell.recipe.notes import Notes
from benchbell.recipe.sheet import ClockKind, ClockSpec, Operation, Sheet
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.steps import names_of
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import OperationText, Recipe


class Case(Struct, frozen=True, dict=True):
    """What every rule is given. inside: for every part and assembly, itself and all that is joined in it."""

    recipe: Recipe
    sheet: Sheet
    shop: ShopProfile
    names: Names
    inside: Inside
    notes: Notes

    @cached_property
    def rows(self) -> dict[str, int]:
        """By an operation's name, the row it is written in."""
        return {name: row for row, written in enumerate(self.recipe.operation) for name in names_of(written)}

    @cached_property
    def first(self) -> list[Operation]:
        """Operations of the first piece and of the whole build, in order: the others say nothing new."""
        return [op for op in self.sheet.operations if op.piece in ("", self.sheet.pieces[0])]

    @cached_property
    def _after(self) -> dict[str, tuple[str, ...]]:
        return {op.id: op.after for op in self.sheet.operations}

    def before(self, op: Operation) -> set[str]:
        """All operations that must be done before this one, however far back."""
        found: set[str] = set()
        open_ends = list(op.after)
        while open_ends:
            earlier = open_ends.pop()
            if earlier not in found:
                found.add(earlier)
                open_ends += self._after[earlier]
        return found

    def path(self, op: Operation, *keys: str) -> Path:
        """Where an operation, or a key of it, stands in the file."""
        return ("operation", self.rows[op.name], *keys)

    def written(self, op: Operation) -> OperationText:
        """The operation as written."""
        return self.recipe.operation[self.rows[op.name]]

    def warn(self, rule: str, op: Operation, what: str, next_step: str, *keys: str) -> None:
        """One more warning, about an operation."""
        self.notes.warn(rule, self.path(op, *keys), f"Operation {self.written(op).id} {what}", next_step)


def clock_of(op: Operation, kind: ClockKind) -> ClockSpec | None:
    """Its clock of that kind, if it has one."""
    return next((clock for clock in op.clocks if clock.kind == kind), None)


def told(minutes: float) -> str:
    """A time as a sentence has it."""
    return show(minutes, TIME, "mm")
