"""Sizes as measured, and operations that wait until what they measure is within the recipe's bounds.

A size with bounds is a gate: the operation that measures it does not count as done while its last value is out of
them, so that what comes after waits and it can be measured again days later. Finished with a reason after that
measurement, it counts as done all the same. Twin: pwa/src/bench/measured.ts.
"""

from collections.abc import Mapping

from msgspec import Struct

from benchbell.bench.book import Book
from benchbell.bench.happenings import Finished, Happening, Measured
from benchbell.recipe.bounds import bounds_text, has_bounds, is_within
from benchbell.recipe.measure import Units, dim_named, show
from benchbell.recipe.sheet import Operation, Sheet, Size


class AsBuilt(Struct, frozen=True):
    """A size as measured. others: different values measured before, which a person should look at."""

    value: float
    ms: int
    device: str
    others: tuple[float, ...]


def as_built(book: Book, sheet: Sheet) -> dict[str, AsBuilt]:
    """Sizes as measured, by "piece|size". The later of two measurements stands; the others are named.

    Of a size with bounds no others are named: it changes, and is measured until it is within them.
    """
    slots = [(piece, size) for size in sheet.sizes for piece in ("", *sheet.pieces)]
    return {f"{piece}|{size.name}": found for piece, size in slots if (found := measured(book, piece, size))}


def measured(book: Book, piece: str, size: Size) -> AsBuilt | None:
    """One size as measured, or None."""
    taken = [(h, h.what.value) for h in book.all("measured", piece, size.name) if isinstance(h.what, Measured)]
    if not taken:
        return None
    last, value = taken[-1]
    others = () if has_bounds(size) else tuple(other for _, other in taken[:-1] if other != value)
    return AsBuilt(value, book.moment(last).ms, last.at.device, others)


def bounded_sizes(sheet: Sheet) -> dict[str, Size]:
    """The sizes with bounds, by name."""
    return {size.name: size for size in sheet.sizes if has_bounds(size)}


def kept_open(book: Book, op: Operation, finished: Happening | None, bounded: Mapping[str, Size]) -> tuple[str, ...]:
    """The sizes measured here that keep a finished operation from counting as done, by name.

    finished: its mark that counts, or None. bounded: the sizes with bounds, by name.
    """
    if finished is None:
        return ()
    return tuple(name for name in op.measure if name in bounded and is_open(book, op, finished, bounded[name]))


def is_open(book: Book, op: Operation, finished: Happening, size: Size) -> bool:
    """Whether a size is not measured or out of its bounds, and nobody has said since why that does not matter."""
    last = book.latest("measured", "" if size.once else op.piece, size.name)
    if last is not None and isinstance(last.what, Measured) and is_within(size, last.what.value):
        return False
    has_reason = isinstance(finished.what, Finished) and finished.what.reason != ""
    return not has_reason or (last is not None and finished.at < last.at)


def measure_again(size: Size, value: float | None, units: Units) -> str:
    """Why the next operations wait, and what to do. value: as measured last, or None."""
    name = size.name.replace("_", " ").capitalize()
    if value is None:
        return f"{name} is not measured, {bounds_text(size, units)}: measure it."
    return f"{name} {show(value, dim_named(size.dim), units)}, {bounds_text(size, units)}: measure again."
