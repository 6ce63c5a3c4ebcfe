"""The recipe's named sizes: each formula checked, in an order in which each needs only earlier ones."""

from collections.abc import Collection, Mapping, Sequence
from itertools import pairwise

from msgspec import Struct, field

from benchbell.findings import Refused
from benchbell.recipe.formula import Compiled, Macro, compile_formula, evaluate
from benchbell.recipe.measure import LENGTH, TIME, Dim, show
from benchbell.recipe.notes import Notes
from benchbell.recipe.sheet import Size
from benchbell.recipe.tokens import tokens_of
from benchbell.recipe.toml_positions import Path, line_at
from benchbell.recipe.written import Recipe, SizeText

UNITS = {"length": "mm or in", "area": "mm * mm or in * in", "angle": "deg", "time": "min or h"}


class Names(Struct):
    """The named sizes so far: their kinds and planned values. functions: the trade's.

    broken: names that have no sound formula; what uses them is not said to be wrong too.
    """

    functions: Mapping[str, Macro]
    dims: dict[str, Dim] = field(default_factory=dict)
    plan: dict[str, float] = field(default_factory=dict)
    broken: set[str] = field(default_factory=set)


class Figure(Struct, frozen=True):
    """A formula with its planned value."""

    compiled: Compiled
    plan: float


def named_sizes(recipe: Recipe, functions: Mapping[str, Macro], notes: Notes) -> tuple[tuple[Size, ...], Names]:
    """All named sizes, those that others need first."""
    names = Names(functions)
    ordered = in_order(recipe, notes)
    names.broken |= recipe.size.keys() - set(ordered)
    sizes = [size for name in ordered if (size := named_size(name, recipe.size[name], names, notes))]
    return tuple(sizes), names


def in_order(recipe: Recipe, notes: Notes) -> list[str]:
    """Names so that each comes after those it uses; a circle is named, and what hangs on it left out."""
    uses = {name: names_used(formula_of(size), recipe.size) for name, size in recipe.size.items()}
    ordered: list[str] = []
    while free := [name for name, used in uses.items() if not used.difference(ordered)]:
        ordered += free
        uses = {name: used for name, used in uses.items() if name not in free}
    for circle in circles_in(uses):
        what = f"Size {circle[0]} needs itself: {' needs '.join(circle)}."
        notes.error("size-circle", ("size", circle[0]), what, "Give one of them a size of its own.")
    return ordered


def circles_in(uses: Mapping[str, set[str]]) -> list[list[str]]:
    """Ways along `uses` that come back to where they began; each once, its first and last the same."""
    found: list[list[str]] = []
    seen: set[str] = set()
    for name in uses:
        way = [name]
        while way[-1] not in seen and way.count(way[-1]) == 1:
            way.append(next(used for used in sorted(uses[way[-1]]) if used in uses))
        if way[-1] not in seen:
            found.append(way[way.index(way[-1]) :])
        seen.update(way)
    return found


def names_used(formula: str, known: Collection[str]) -> set[str]:
    """The known names a formula's text speaks of; none where it cannot be read, which is said later."""
    try:
        tokens = tokens_of(formula)
    except Refused:
        return set()
    return {
        token.text
        for token, following in pairwise(tokens)
        if token.kind == "name" and token.text in known and following.text != "("
    }


def formula_of(size: str | SizeText) -> str:
    """The formula of a size, be it measured or not."""
    return size if isinstance(size, str) else size.plan


def named_size(name: str, written: str | SizeText, names: Names, notes: Notes) -> Size | None:
    """One named size, added to `names`; None when its formula is not sound."""
    path = ("size", name)
    figure = figure_of(formula_of(written), names, path, f"Size {name}", notes)
    if figure is None:
        names.broken.add(name)
        return None
    dim = figure.compiled.dim
    names.dims[name], names.plan[name] = dim, figure.plan
    formula, line = figure.compiled.postfix, line_at(notes.lines, path)
    if isinstance(written, str):
        return Size(name, dim.name, formula, figure.plan, line=line)
    within = above_zero(written.within, names, path, f"Size {name}: within", notes, dim)
    return Size(name, dim.name, formula, figure.plan, written.measure, within, written.once, line)


def figure_of(
    text: str, names: Names, path: Path, about: str, notes: Notes, wanted: Dim | None = None
) -> Figure | None:
    """A formula checked and reckoned with the planned sizes; None, and a finding, when it is not sound."""
    if names_used(text, names.broken):
        return None
    try:
        compiled = compile_formula(text, names.dims, names.functions)
        plan = evaluate(compiled.postfix, names.plan)
    except Refused as error:
        notes.refused("formula", path, about, error)
        return None
    if wanted is not None and compiled.dim != wanted:
        what = f"{about}: “{text}” is of the kind {compiled.dim.name}, wanted is {wanted.name}."
        notes.error("wrong-kind", path, what, f"Write it in {UNITS.get(wanted.name, 'the right units')}.")
        return None
    return Figure(compiled, plan)


def above_zero(text: str, names: Names, path: Path, about: str, notes: Notes, wanted: Dim) -> float | None:
    """What a formula is planned to be, in base units; None when nothing, or nothing sound, is written."""
    figure = figure_of(text, names, path, about, notes, wanted) if text else None
    if figure is None or not require_above_zero(figure.plan, path, about, notes, wanted):
        return None
    return figure.plan


def require_above_zero(value: float, path: Path, about: str, notes: Notes, dim: Dim) -> bool:
    """Whether it is more than nothing; else there is a finding."""
    if value > 0:
        return True
    what = f"{about} would be {show(value, dim, 'mm')}."
    next_step = "Correct it: it must be more than nothing."
    notes.error("no-time" if dim == TIME else "no-size", path, what, next_step)
    return False


def lengths_of(texts: Sequence[str], names: Names, path: Path, about: str, notes: Notes) -> list[Figure]:
    """Lengths that must be more than nothing."""
    found = [figure_of(text, names, path, about, notes, LENGTH) for text in texts]
    return [one for one in found if one and require_above_zero(one.plan, path, about, notes, LENGTH)]
