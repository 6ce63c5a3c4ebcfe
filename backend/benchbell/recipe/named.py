"""The recipe's named sizes: each formula checked, in an order in which each needs only earlier ones."""

from collections.abc import Mapping
from itertools import pairwise

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.formula import Compiled, Macro, compile_formula, evaluate
from benchbell.recipe.lines import Path, line_at
from benchbell.recipe.measure import Dim
from benchbell.recipe.notes import Notes
from benchbell.recipe.sheet import Size
from benchbell.recipe.tokens import tokens_of
from benchbell.recipe.written import Recipe, SizeText


class Names(Struct):
    """The named sizes so far: their kinds and planned values. functions: the trade's."""

    dims: dict[str, Dim]
    plan: dict[str, float]
    functions: Mapping[str, Macro]


class Figure(Struct, frozen=True):
    """A formula with its planned value."""

    compiled: Compiled
    plan: float


def named_sizes(recipe: Recipe, functions: Mapping[str, Macro], notes: Notes) -> tuple[tuple[Size, ...], Names]:
    """All named sizes, those that others need first."""
    names = Names({}, {}, functions)
    sizes = [size for name in in_order(recipe, notes) if (size := named_size(name, recipe.size[name], names, notes))]
    return tuple(sizes), names


def in_order(recipe: Recipe, notes: Notes) -> list[str]:
    """Names so that each comes after those it uses; a circle is named, and its sizes left out."""
    uses = {name: names_used(formula_of(size), recipe) for name, size in recipe.size.items()}
    ordered: list[str] = []
    while uses:
        free = [name for name, used in uses.items() if not used - set(ordered)]
        if not free:
            circle = circle_in(uses)
            for name in circle[:-1]:
                notes.error(
                    "size-circle",
                    ("size", name),
                    f"Size {name} needs itself: {' needs '.join(circle)}.",
                    "Give one of them a size of its own.",
                )
            return ordered
        ordered += free
        uses = {name: used for name, used in uses.items() if name not in free}
    return ordered


def circle_in(uses: Mapping[str, set[str]]) -> list[str]:
    """A way along `uses` that comes back to where it began: first and last are the same."""
    way = [next(iter(uses))]
    while way.count(way[-1]) == 1:
        way.append(next(name for name in sorted(uses[way[-1]]) if name in uses))
    return way[way.index(way[-1]) :]


def names_used(formula: str, recipe: Recipe) -> set[str]:
    """The named sizes a formula's text speaks of; none where it cannot be read, which is said later."""
    try:
        tokens = tokens_of(formula)
    except Refused:
        return set()
    return {
        token.text
        for token, following in pairwise(tokens)
        if token.kind == "name" and token.text in recipe.size and following.text != "("
    }


def formula_of(size: str | SizeText) -> str:
    """The formula of a size, be it measured or not."""
    return size if isinstance(size, str) else size.plan


def named_size(name: str, written: str | SizeText, names: Names, notes: Notes) -> Size | None:
    """One named size, added to `names`; None when its formula is not sound."""
    figure = figure_of(formula_of(written), names, ("size", name), f"Size {name}", notes)
    if figure is None:
        return None
    names.dims[name], names.plan[name] = figure.compiled.dim, figure.plan
    size = Size(name, figure.compiled.dim.name, figure.compiled.postfix, figure.plan)
    line = line_at(notes.lines, ("size", name))
    if isinstance(written, str):
        return Size(size.name, size.dim, size.formula, size.plan, line=line)
    within = tolerance(name, written, figure.compiled.dim, names, notes)
    return Size(size.name, size.dim, size.formula, size.plan, written.measure, within, written.once, line)


def tolerance(name: str, written: SizeText, dim: Dim, names: Names, notes: Notes) -> float | None:
    """How far a measured size may be off; None when nothing is said."""
    if not written.within:
        return None
    figure = figure_of(written.within, names, ("size", name), f"Size {name}, within", notes, dim)
    return figure.plan if figure else None


def figure_of(
    text: str, names: Names, path: Path, about: str, notes: Notes, wanted: Dim | None = None
) -> Figure | None:
    """A formula checked and reckoned with the planned sizes; None, and a finding, when it is not sound."""
    try:
        compiled = compile_formula(text, names.dims, names.functions)
        plan = evaluate(compiled.postfix, names.plan)
    except Refused as error:
        notes.refused("formula", path, about, error)
        return None
    if wanted is not None and compiled.dim != wanted:
        unit = {"length": "mm or in", "angle": "deg", "time": "min or h"}.get(wanted.name, "the right units")
        notes.error(
            "wrong-kind",
            path,
            f"{about}: “{text}” is of the kind {compiled.dim.name}, wanted is {wanted.name}.",
            f"Write it in {unit}.",
        )
        return None
    return Figure(compiled, plan)
