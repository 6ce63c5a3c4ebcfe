"""Pieces that differ: choices answered for one piece of a build and not for the others.

The recipe is compiled for each set of answers, and what differs is put together into one sheet: sizes and setups of
such a piece get a name of their own, `width_b` and `rail-stop-b`. Which parts and operations there are is the same
for all pieces of a build, since they are worked together; another set of answers that changes it is refused.
"""

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct, field
from msgspec.structs import replace

from benchbell.findings import use_one_of
from benchbell.recipe.cutting_list import with_rows_of
from benchbell.recipe.finding_list import FindingList, shortened
from benchbell.recipe.formula import names_in
from benchbell.recipe.sheet import Choice, Formula, Operation, Part, Setup, Sheet, Size

ANOTHER_BUILD = "Start a build of its own for that piece."


class AnswersByPiece(Struct, frozen=True):
    """Answers to choices: for all pieces, and for single pieces by letter."""

    for_all: dict[str, str]
    by_piece: dict[str, dict[str, str]] = field(default_factory=dict)

    @classmethod
    def of(cls, chosen: Mapping[str, str]) -> "AnswersByPiece":
        """chosen: by "width" or "B.width"."""
        answers = cls({})
        for name, text in chosen.items():
            piece, dot, choice = name.partition(".")
            if dot:
                answers.by_piece.setdefault(piece, {})[choice] = text
            else:
                answers.for_all[name] = text
        return answers

    def check_pieces(self, pieces: Sequence[str], findings: FindingList) -> None:
        """Add a finding for each piece that the build does not have."""
        for piece in self.by_piece:
            if piece not in pieces:
                what = f"The build has no piece {shortened(piece)}."
                findings.error("unknown-name", ("choice",), what, use_one_of(piece, pieces))

    def groups(self) -> list[tuple[str, ...]]:
        """The pieces with answers of their own, those with the same answers together."""
        groups: dict[tuple[tuple[str, str], ...], list[str]] = {}
        for piece, own in sorted(self.by_piece.items()):
            groups.setdefault(tuple(sorted(own.items())), []).append(piece)
        return [tuple(pieces) for pieces in groups.values()]

    def of_group(self, group: tuple[str, ...]) -> dict[str, str]:
        """The answers for the pieces of a group."""
        return self.for_all | self.by_piece[group[0]]


class Renaming(Struct, frozen=True):
    """New names of what differs in some pieces: of sizes, and of setups."""

    sizes: dict[str, str]
    setups: dict[str, str]

    def formula(self, formula: Formula) -> Formula:
        """A formula with the new names."""
        return tuple(
            f"@{self.sizes.get(item[1:], item[1:])}" if isinstance(item, str) and item.startswith("@") else item
            for item in formula
        )

    def part(self, part: Part) -> Part:
        """A part with sizes of the new names."""
        return replace(part, size=tuple(self.formula(formula) for formula in part.size))

    def operation(self, op: Operation) -> Operation:
        """An operation with the new names."""
        return replace(
            op,
            setup=self.setups.get(op.setup, op.setup) if op.setup else None,
            measure=tuple(self.sizes.get(name, name) for name in op.measure),
            sizes=tuple(self.sizes.get(name, name) for name in op.sizes),
        )


def with_pieces(sheet: Sheet, other: Sheet, group: tuple[str, ...], findings: FindingList) -> Sheet:
    """The sheet with these pieces taken from another sheet of the same recipe, made with other answers.

    A finding when the two differ in what there is, or in what is done or made once for all pieces.
    """
    names = renaming(sheet, other, group)
    if not is_alike(sheet, other, group, names, findings):
        return sheet
    parts = {part.id: names.part(part) for part in other.parts if part.piece in group}
    operations = {op.id: names.operation(op) for op in other.operations if op.piece in group}
    return replace(
        sheet,
        sizes=(*sheet.sizes, *(renamed_size(size, names) for size in other.sizes if size.name in names.sizes)),
        parts=tuple(parts.get(part.id, part) for part in sheet.parts),
        setups=(*sheet.setups, *(renamed_setup(one, names, group) for one in other.setups if one.id in names.setups)),
        operations=tuple(operations.get(op.id, op) for op in sheet.operations),
        cautions=sheet.cautions | other.cautions,
        cutting_list=with_rows_of(sheet.cutting_list, other.cutting_list, parts.keys(), pieces_text(group)),
        figures=sheet.figures | other.figures,
    )


def renaming(sheet: Sheet, other: Sheet, group: tuple[str, ...]) -> Renaming:
    """New names of the sizes and setups of `other` that are not the same in `sheet`."""
    mark = group[0].lower()
    known = {size.name: size for size in sheet.sizes}
    sizes: dict[str, str] = {}
    for size in other.sizes:  # in an order in which each depends on earlier ones only
        if not is_same_size(size, known.get(size.name)) or names_in(size.formula) & sizes.keys():
            sizes[size.name] = free_name(f"{size.name}_{mark}", known, "_")
    setups = {setup.id: setup for setup in sheet.setups}
    changed = [
        setup.id
        for setup in other.setups
        if setup != setups.get(setup.id) or any(names_in(value.formula) & sizes.keys() for value in setup.set)
    ]
    return Renaming(sizes, {id: free_name(f"{id}-{mark}", setups, "-") for id in changed})


def is_same_size(one: Size, other: Size | None) -> bool:
    """Whether two sizes are the same but for the line they are written in."""
    return other is not None and replace(one, line=0) == replace(other, line=0)


def free_name(name: str, taken: Mapping[str, object], between: str) -> str:
    """The name, with more between it and its end as long as it is taken."""
    start, _, end = name.rpartition(between)
    while name in taken:
        start += between
        name = f"{start}{between}{end}"
    return name


def renamed_size(size: Size, names: Renaming) -> Size:
    """A size under its new name."""
    return replace(size, name=names.sizes[size.name], formula=names.formula(size.formula))


def renamed_setup(setup: Setup, names: Renaming, group: tuple[str, ...]) -> Setup:
    """A setup under its new id, with the pieces in its title."""
    values = tuple(replace(value, formula=names.formula(value.formula)) for value in setup.set)
    return replace(setup, id=names.setups[setup.id], title=f"{setup.title}, {pieces_text(group)}", set=values)


def pieces_text(group: tuple[str, ...]) -> str:
    """The pieces in words: "piece B", "pieces B, C"."""
    return f"piece {group[0]}" if len(group) == 1 else f"pieces {', '.join(group)}"


def is_alike(sheet: Sheet, other: Sheet, group: tuple[str, ...], names: Renaming, findings: FindingList) -> bool:
    """Whether two sheets have the same parts and operations, and the same of what is there once; else a finding."""
    who = f"Piece {', '.join(group)}"
    for kind, ones, others in (
        ("parts", ids(sheet.parts), ids(other.parts)),
        ("operations", ids(sheet.operations), ids(other.operations)),
    ):
        if changed := sorted({id.rpartition("/")[2] for id in ones ^ others}):
            what = f"{who}: these answers change which {kind} there are: {shortened(', '.join(changed), 60)}."
            findings.error("pieces-differ", ("choice",), what, ANOTHER_BUILD)
            return False
    made = {part.id: part for part in sheet.parts}
    done = {op.id: replace(op, line=0) for op in sheet.operations}
    once = [part.id for part in other.parts if not part.piece and names.part(part) != made[part.id]]
    once += [op.id for op in other.operations if not op.piece and replace(names.operation(op), line=0) != done[op.id]]
    for id in once:
        what = f"{who}: {id} is there once for all pieces, and differs with these answers."
        findings.error("pieces-differ", ("choice",), what, ANOTHER_BUILD)
    return not once


def ids(ones: Iterable[Part] | Iterable[Operation]) -> set[str]:
    """Their ids."""
    return {one.id for one in ones}


def choices_by_piece(choices: Iterable[Choice], by_piece: Mapping[str, Mapping[str, str]]) -> tuple[Choice, ...]:
    """The choices with what was chosen for single pieces instead. by_piece: by piece, the answers by choice."""

    def with_own(choice: Choice) -> Choice:
        own = {piece: answers.get(choice.name, choice.value) for piece, answers in by_piece.items()}
        return replace(choice, by_piece={piece: answer for piece, answer in own.items() if answer != choice.value})

    return tuple(with_own(choice) for choice in choices)
