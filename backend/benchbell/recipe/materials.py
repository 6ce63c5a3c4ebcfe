"""The cut summary: how much of each stock the build takes, lipping, hardware and what is used up."""

from collections import defaultdict
from collections.abc import Sequence

from benchbell.recipe.sheet import Item, Material, Part
from benchbell.recipe.written import ItemText, PartText, Recipe

BOARD_FOOT_MM3 = 25.4**3 * 144
"""144 cubic inches."""

EDGES = {"": (0, 0), "one long": (1, 0), "two long": (2, 0), "all": (2, 2)}
"""How many long and short edges are lipped."""


def materials(recipe: Recipe, parts: Sequence[Part], rows: Sequence[int]) -> tuple[Material, ...]:
    """By stock, with the recipe's allowance. rows: each part's row in the recipe."""
    grouped: dict[tuple[str, str], list[Part]] = defaultdict(list)
    for part in parts:
        grouped[part.stock, part.material].append(part)
    summed = [material(recipe, group) for _, group in sorted(grouped.items())]
    lipping = sum(edge_mm(recipe.part[row], part) for part, row in zip(parts, rows, strict=True))
    if lipping:
        share = 1 + recipe.allowance / 100
        summed.append(Material("lipping", "other", lipping * share, "mm", 0, 0, recipe.allowance))
    return tuple(summed)


def material(recipe: Recipe, parts: Sequence[Part]) -> Material:
    """One stock: solid in board feet by plain volume, sheets in square metres, the rest in mm of length."""
    first = parts[0]
    share = 1 + recipe.allowance / 100
    volume_mm3 = sum(product(part.plan_mm[:3]) for part in parts if len(part.plan_mm) == 3) * share
    if first.material == "solid":
        amount, unit = volume_mm3 / BOARD_FOOT_MM3, "board feet"
    elif first.material == "sheet":
        amount, unit = sum(product(part.plan_mm[:2]) for part in parts) * share / 1e6, "m²"
    else:
        amount, unit = sum(part.plan_mm[0] for part in parts if part.plan_mm) * share, "mm"
    return Material(first.stock, first.material, amount, unit, volume_mm3 / 1e9, len(parts), recipe.allowance)


def edge_mm(written: PartText, part: Part) -> float:
    """How much edge of a part is lipped."""
    long, short = EDGES[written.edges]
    return long * part.plan_mm[0] + short * part.plan_mm[1] if len(part.plan_mm) > 1 else 0.0


def product(values: Sequence[float]) -> float:
    """All multiplied."""
    result = 1.0
    for value in values:
        result *= value
    return result


def items(written: Sequence[ItemText], pieces: int) -> tuple[Item, ...]:
    """Hardware or things used up, for all pieces."""
    return tuple(Item(item.name, item.count * (1 if item.once else pieces), item.unit) for item in written)
