"""A sheet's named sizes for one piece: as built where somebody measured, else reckoned from what is there.

A measured size replaces the drawing's, and everything reckoned from it changes with it.
Twin: pwa/src/bench/sizes.ts; equal to a thousandth, since sines differ in the last bit.
"""

from collections.abc import Mapping

from msgspec import Struct

from benchbell.bench.measured import AsBuilt
from benchbell.recipe.arithmetic import CannotEvaluate
from benchbell.recipe.bounds import NOTICED
from benchbell.recipe.formula import evaluate, names_in
from benchbell.recipe.sheet import Formula, Part, Setup, Sheet, Size


class SizeNow(Struct, frozen=True):
    """What a size is worth now, in base units, beside the drawing's `plan`.

    value: None where it cannot be reckoned; then `trouble` is the sentence that says why.
    measured: as built, not reckoned. changed: not the drawing's. off: measured outside what the recipe allows.
    """

    value: float | None
    plan: float
    measured: bool = False
    changed: bool = False
    off: bool = False
    trouble: str = ""


def sizes_of(sheet: Sheet, as_built: Mapping[str, AsBuilt], piece: str) -> dict[str, SizeNow]:
    """Every named size of the piece; "" for what is done once for the whole build. as_built: by "piece|size"."""
    by_name = {size.name: size for size in sheet.sizes}
    known: dict[str, SizeNow] = {}
    for size in sheet.sizes:
        for needed in with_needed(size, by_name):
            if needed.name not in known:
                known[needed.name] = size_now(needed, built_of(needed, as_built, piece), known)
    return {size.name: known[size.name] for size in sheet.sizes}


def with_needed(size: Size, by_name: Mapping[str, Size]) -> list[Size]:
    """The size and all it is reckoned from, at any depth, those first. A circle is cut where it closes."""
    found: dict[str, Size] = {}
    entered: set[str] = set()
    to_do = [(size, False)]
    while to_do:
        one, is_left = to_do.pop()
        if is_left:
            found.setdefault(one.name, one)
        elif one.name not in entered:
            entered.add(one.name)
            to_do.append((one, True))
            to_do += [(by_name[name], False) for name in sorted(names_in(one.formula)) if name in by_name]
    return list(found.values())


def built_of(size: Size, as_built: Mapping[str, AsBuilt], piece: str) -> AsBuilt | None:
    """The size as measured on the piece, else for the whole build."""
    own = None if size.once else as_built.get(f"{piece}|{size.name}")
    return own or as_built.get(f"|{size.name}")


def size_now(size: Size, built: AsBuilt | None, known: Mapping[str, SizeNow]) -> SizeNow:
    """One size, when all it is reckoned from is known."""
    if built is not None:
        apart = abs(built.value - size.plan)
        is_off = size.within is not None and apart > size.within + NOTICED
        return SizeNow(built.value, size.plan, True, apart > NOTICED, is_off)
    try:
        value = evaluate(size.formula, values_of(known))
    except CannotEvaluate as error:
        return SizeNow(None, size.plan, trouble=str(error))
    return SizeNow(value, size.plan, changed=abs(value - size.plan) > NOTICED)


def values_of(known: Mapping[str, SizeNow]) -> dict[str, float]:
    """The sizes that have a value."""
    return {name: now.value for name, now in known.items() if now.value is not None}


def worth(formula: Formula, sizes: Mapping[str, SizeNow]) -> float | None:
    """What a formula over these sizes comes to; None where it cannot be reckoned."""
    try:
        return evaluate(formula, values_of(sizes))
    except CannotEvaluate:
        return None


def part_mm(part: Part, sizes: Mapping[str, SizeNow]) -> tuple[float | None, ...]:
    """A part's length along the grain, width and thickness, with the sizes of its piece."""
    return tuple(worth(formula, sizes) for formula in part.size)


def set_values(setup: Setup, sizes: Mapping[str, SizeNow]) -> dict[str, float | None]:
    """What a station is to be set to, by name, with the sizes of the piece at hand."""
    return {value.name: worth(value.formula, sizes) for value in setup.set}
