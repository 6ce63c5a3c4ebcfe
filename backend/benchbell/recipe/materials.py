"""The cut summary: how much of each stock and lipping the build takes, its hardware and its consumables.

Solid wood counts at the thickness of the board that each part is planed from, not at its own.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from math import prod

from benchbell.recipe.measure import LENGTH, show
from benchbell.recipe.sheet import Part
from benchbell.recipe.stock import CutListRow, Item, Material, veneer_name
from benchbell.recipe.written import ItemText, PartText, Recipe
from benchbell.trade.timber import board_feet, bought_mm, cubic_metres, resawn_mm

EDGES = {"": (0, 0), "one long": (1, 0), "two long": (2, 0), "all": (2, 2)}
"""By the recipe's word, how many long and short edges are lipped."""


def materials(
    recipe: Recipe, parts: Sequence[Part], rows: Sequence[int], cutting_list: Sequence[CutListRow]
) -> tuple[Material, ...]:
    """The amounts by stock, sheets and veneer by thickness too, with the recipe's allowance. rows: each part's row."""
    rough_mm = {id: row.rough_mm for row in cutting_list for id in row.of}
    grouped: dict[tuple[str, str], list[Part]] = defaultdict(list)
    for part in parts:
        if part.plan_mm:
            grouped[stock_of(part, recipe), part.material].append(part)
    summed = [material(recipe, stock, group, rough_mm) for (stock, _), group in sorted(grouped.items())]
    lipping = sum(edge_mm(recipe.part[row], part) for part, row in zip(parts, rows, strict=True))
    if lipping:
        share = 1 + recipe.allowance / 100
        summed.append(Material("lipping", "other", lipping * share, "mm", 0, 0, recipe.allowance))
    return tuple(summed)


def stock_of(part: Part, recipe: Recipe) -> str:
    """A part's stock as it is bought: sheets and veneer with their thickness."""
    if part.material not in ("sheet", "veneer") or len(part.plan_mm) < 3:
        return part.stock
    name = veneer_name(part.stock) if part.material == "veneer" else part.stock
    return f"{name}, {show(part.plan_mm[2], LENGTH, recipe.units)}"


def material(recipe: Recipe, stock: str, parts: Sequence[Part], rough_mm: Mapping[str, tuple[float, ...]]) -> Material:
    """The amount of one stock: solid wood in board feet by volume, sheets in m², other stock in mm of length or in m².

    Veneer counts in m² by its leaves as they are cut first, with what stands out over the ground.

    Other stock, such as glass, is bought to size: it has no allowance.
    """
    kind, share = parts[0].material, 1 + recipe.allowance / 100
    whole = [part.plan_mm for part in parts if len(part.plan_mm) == 3]
    if kind == "solid":
        return solid(stock, whole, len(parts), recipe.allowance)
    if kind == "sheet":
        area = sum(length * width for length, width, _ in whole) * share / 1e6
        cubic_m = sum(cubic_metres(*reversed(size)) for size in whole) * share
        return Material(stock, kind, area, "m²", cubic_m, len(parts), recipe.allowance)
    if kind == "veneer":
        area = sum(prod(rough_mm[part.id]) for part in parts) * share / 1e6
        return Material(stock, kind, area, "m²", 0, len(parts), recipe.allowance)
    if all(len(part.plan_mm) > 1 for part in parts):
        area = sum(part.plan_mm[0] * part.plan_mm[1] for part in parts) / 1e6
        return Material(stock, kind, area, "m²", 0, len(parts), 0)
    return Material(stock, kind, sum(part.plan_mm[0] for part in parts), "mm", 0, len(parts), 0)


def solid(stock: str, whole: Sequence[tuple[float, ...]], parts: int, allowance: float) -> Material:
    """The amount of a wood for parts of these sizes, each at the thickness of the board it is planed from."""
    share = 1 + allowance / 100
    boards, resawn = (
        [(length, width, thick(thickness)) for length, width, thickness in whole] for thick in (bought_mm, resawn_mm)
    )
    feet, resawn_feet, cubic_m = (
        sum(volume(*reversed(board)) for board in of) * share
        for volume, of in ((board_feet, boards), (board_feet, resawn), (cubic_metres, boards))
    )
    return Material(stock, "solid", feet, "board feet", cubic_m, parts, allowance, resawn_feet)


def edge_mm(written: PartText, part: Part) -> float:
    """Length of a part's lipped edges in mm."""
    long, short = EDGES[written.edges]
    return long * part.plan_mm[0] + short * part.plan_mm[1] if len(part.plan_mm) > 1 else 0.0


def items(written: Sequence[ItemText], pieces: int) -> tuple[Item, ...]:
    """Hardware or consumables, counted for all pieces. What several fragments need is one row: what is needed once for
    the whole build is not added up.
    """
    counts: dict[tuple[str, str, bool], float] = {}
    for item in written:
        key = (item.name, item.unit, item.once)
        counts[key] = max(counts.get(key, 0), item.count) if item.once else counts.get(key, 0) + item.count * pieces
    return tuple(Item(name, count, unit) for (name, unit, _), count in counts.items())
