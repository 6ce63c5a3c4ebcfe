"""What a glue-up lays: leaves of veneer, and the ground that they are laid on."""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from benchbell.recipe.holds import Contents
from benchbell.recipe.sheet import Operation, Part
from benchbell.trade.glue import glues


class Ground(Struct, frozen=True):
    """What veneer is laid on: a part, or a panel of several, whose boards lie side by side. Sizes as planned, in mm.

    id: of the part or assembly. parts: ids of its boards. solid: whether they are solid wood.
    """

    id: str
    parts: tuple[str, ...]
    stock: str
    solid: bool
    length_mm: float
    width_mm: float


class Veneering(Struct, frozen=True):
    """Leaves that one glue-up lays. others: ids of all that is no veneer; grounds: those of which the face is known."""

    leaves: tuple[Part, ...]
    others: tuple[str, ...]
    grounds: tuple[Ground, ...]


def all_veneering(
    operations: Mapping[str, Operation], contents: Contents, parts: Mapping[str, Part]
) -> dict[str, Veneering]:
    """What each glue-up lays, by its id; those that lay no veneer are left out."""
    found = ((id, veneering_of(op.parts, contents, parts)) for id, op in operations.items() if op.step == "glue-up")
    return {id: laid for id, laid in found if laid}


def veneering_of(ids: Sequence[str], contents: Contents, parts: Mapping[str, Part]) -> Veneering | None:
    """What a glue-up of these parts and assemblies lays; None when it lays no veneer on anything."""
    inside = {id: [parts[one] for one in contents.get(id, (id,)) if one in parts] for id in ids}
    leaves = [part for of in inside.values() if all(is_leaf(part) for part in of) for part in of]
    others = {id: of for id, of in inside.items() if not all(is_leaf(part) for part in of)}
    if not leaves or not others:
        return None
    grounds = [ground for id, of in others.items() if (ground := ground_of(id, of))]
    return Veneering(tuple(leaves), tuple(others), tuple(grounds))


def is_leaf(part: Part) -> bool:
    """Whether a part is a leaf of veneer."""
    return part.material == "veneer" and len(part.plan_mm) == 3


def ground_of(id: str, parts: Sequence[Part]) -> Ground | None:
    """A part or panel as a ground, with what is laid on it already; None when it is more than boards of one kind."""
    boards = [part for part in parts if not is_leaf(part)]
    kinds = {part.name.rstrip("0123456789").rstrip("-") for part in boards}
    if len(kinds) != 1 or any(len(part.plan_mm) != 3 for part in boards):
        return None
    first = boards[0]
    wide = sum(part.plan_mm[1] for part in boards)
    return Ground(id, tuple(part.id for part in boards), first.stock, first.material == "solid", first.plan_mm[0], wide)


def dries_slowly(glue: str) -> bool:
    """Whether a glue wets the leaf with water that takes its time to get out again."""
    row = glues().get(glue)
    return row is not None and (row.mixed_with_water or (row.sets_by != "chemical" and not row.dry_minutes[0]))
