"""The caution about lifting, by weight: it goes with what is too heavy for one pair of hands, and with nothing else."""

from collections.abc import Collection, Mapping, Sequence

from msgspec.structs import replace

from benchbell.recipe.holds import Contents, is_machine
from benchbell.recipe.sheet import Operation, Part
from benchbell.trade.lifting import HEAVY_KG, SHEET_M2, sheet_kg, stock_kg_per_m3
from benchbell.trade.timber import cubic_metres

LIFTING = "lifting"
MM2_PER_M2 = 1e6

SHARE_OF_SHEET = 0.5
"""From this share of a sheet on, parts are cut from a whole one, not from what is left of one. Common practice, no
source."""


def with_lifting(operations: Sequence[Operation], parts: Sequence[Part], contents: Contents) -> list[Operation]:
    """The operations, in order, with the caution where something heavy is lifted. contents: of assemblies by id."""
    by_id = {part.id: part for part in parts}
    cut: set[str] = set()
    found = []
    for op in operations:
        fresh = [by_id[id] for id in op.parts if id in by_id and id not in cut]
        heavy = heaviest_kg(op, by_id, contents) >= HEAVY_KG or cuts_whole_sheet(op, fresh)
        if is_machine(op.station):
            cut.update(op.parts)
        found.append(replace(op, cautions=(*op.cautions, LIFTING)) if heavy and LIFTING not in op.cautions else op)
    return found


def heaviest_kg(op: Operation, parts: Mapping[str, Part], contents: Contents) -> float:
    """The weight of the heaviest thing that an operation handles: a part, an assembly, or what it puts together."""
    weights = [weight_kg(contents.get(id, (id,)), parts) for id in op.parts]
    return sum(weights) if op.makes or op.step == "dry-fit" else max(weights, default=0)


def weight_kg(ids: Collection[str], parts: Mapping[str, Part]) -> float:
    """The weight of all parts among `ids`."""
    return sum(part_kg(parts[id]) for id in ids if id in parts)


def part_kg(part: Part) -> float:
    """A part's weight by its planned size; 0 for stock that has not three sizes."""
    if len(part.plan_mm) < 3:
        return 0
    return cubic_metres(*reversed(part.plan_mm)) * stock_kg_per_m3(part.stock, part.material)


def cuts_whole_sheet(op: Operation, fresh: Sequence[Part]) -> bool:
    """Whether a heavy whole sheet comes to an operation's machine. fresh: its parts that no machine had before."""
    area: dict[tuple[str, float], float] = {}
    for part in fresh if is_machine(op.station) else ():
        if part.material == "sheet" and len(part.plan_mm) == 3:
            length, width, thickness = part.plan_mm
            area[part.stock, thickness] = area.get((part.stock, thickness), 0) + length * width / MM2_PER_M2
    return any(
        m2 >= SHEET_M2 * SHARE_OF_SHEET and sheet_kg(thickness) >= HEAVY_KG for (_, thickness), m2 in area.items()
    )
