"""A sheet's cutting list, and the sizes that an operation makes, as text."""

from collections.abc import Iterable, Sequence
from itertools import groupby
from math import ceil

from msgspec.structs import replace

from benchbell.recipe.measure import LENGTH, Units, show
from benchbell.recipe.sheet import MEASURES, Formula, Operation, Sheet, ToSize
from benchbell.recipe.stock import CutListRow, veneer_name
from benchbell.trade.lengths import MM_PER_INCH

ADJECTIVES = {"length": "long", "width": "wide", "thickness": "thick"}
"""By measure, the word that follows a size."""

STAGES = {"rough": "rough", "finished": "to size", "told": "finished size"}
"""By stage, how a line of sizes begins."""


def cutting_list_lines(sheet: Sheet) -> Iterable[str]:
    """The cutting list: below each stock and thickness as bought, a line or two for each kind of part.

    What comes from one board has no rough size of its own: its note names the board, whose rough size is cut.
    """
    yield "Cutting list: length along the grain × width × thickness. Rough is length × width to cut first."
    units, joined = sheet.units, equal_joined(sheet.cutting_list)
    on_boards = {part for board in sheet.boards for part in board.of}
    wide = max((len(sizes_text(row.finished_mm, units)) for row in joined), default=0)
    titles = max((len(row.title) for row in joined), default=0)
    for stock, rows in groupby(joined, lambda row: stock_text(row, units)):
        yield stock
        for strip, group in groupby(rows, lambda row: strip_text(row, units)):
            if strip:
                yield f"    {strip}:"
            for row in group:
                finished = sizes_text(row.finished_mm, units)
                rough = "" if on_boards.issuperset(row.of) else rough_text(row, units)
                yield f"  {len(row.of):3} × {row.title:{titles}}  {finished:{wide}}  {rough}".rstrip()
                yield from (f"        {more}" for more in [more_text(row, units)] if more)


def more_text(row: CutListRow, units: Units) -> str:
    """What else to know of a row: what becomes of its parts, the grain, the notes."""
    grain = f"{'' if 'grain' in row.grain.split() else 'grain '}{row.grain}" if row.grain else ""
    return "; ".join(filter(None, [trimmed_text(row, units), grain, row.note]))


def equal_joined(rows: Iterable[CutListRow]) -> list[CutListRow]:
    """The rows, those that differ in nothing but their name as one."""
    found: dict[CutListRow, CutListRow] = {}
    for row in rows:
        nameless = replace(row, part="", title="", of=())
        one = found.get(nameless)
        found[nameless] = row if one is None else replace(one, title=f"{one.title}, {row.title}", of=(*one.of, *row.of))
    return list(found.values())


def strip_text(row: CutListRow, units: Units) -> str:
    """How much a row's strip or board must give: "together 5840 mm of 21 × 10 mm, with saw cuts"; "" for none."""
    if not row.strip_mm:
        return ""
    whole = show(ceil(row.strip_mm / MM_PER_INCH) * MM_PER_INCH if units == "in" else row.strip_mm, LENGTH, units)
    return f"together {whole} of {sizes_text((row.rough_mm[1], row.finished_mm[2]), units)}, with saw cuts"


def trimmed_text(row: CutListRow, units: Units) -> str:
    """What its parts become: "in the end 1100 × 120 × 30 mm", "in the end 28 of 8 × 15 × 10 mm"; "" where they stay."""
    if not row.trimmed_mm:
        return ""
    count = f"{row.trimmed_count} of " if row.trimmed_count != len(row.of) else ""
    return f"in the end {count}{sizes_text(row.trimmed_mm, units)}"


def stock_text(row: CutListRow, units: Units) -> str:
    """What to buy for a row: "white ash, 8/4 (50.8 mm)", "birch plywood, 18 mm"."""
    if row.bought:
        return f"{row.stock}, {row.bought} ({show(row.bought_mm, LENGTH, units)}) as bought"
    if row.material == "solid":
        return f"{row.stock}, thicker than it is usually sold: glue it up, or ask for it"
    stock = veneer_name(row.stock) if row.material == "veneer" else row.stock
    return f"{stock}, {show(row.bought_mm, LENGTH, units)}" if row.bought_mm else stock


def rough_text(row: CutListRow, units: Units) -> str:
    """The sizes to cut first; "" where nothing is cut over size."""
    over = row.rough_mm != row.finished_mm[: len(row.rough_mm)]
    return f"rough {sizes_text(row.rough_mm, units)}" if over else ""


def sizes_text(mm: Sequence[float], units: Units) -> str:
    """Lengths with one unit at the end: "420 × 48 × 48 mm"."""
    return " × ".join(show(one, LENGTH, units).removesuffix(f" {units}") for one in mm) + f" {units}"


def to_size_lines(op: Operation, sheet: Sheet) -> Iterable[str]:
    """The sizes that an operation makes: "to size: End rail, Long rail 70 mm wide, 25 mm thick"."""
    for stage, words in STAGES.items():
        by_sizes: dict[str, list[str]] = {}
        for one in op.to_size:
            for row in rows_at(op, one, sheet) if one.stage == stage else ():
                by_sizes.setdefault(made_text(one, row, sheet.units), []).append(row.title)
        if by_sizes:
            yield f"{words}: " + "; ".join(f"{', '.join(titles)} {sizes}" for sizes, titles in by_sizes.items())


def rows_at(op: Operation, made: ToSize, sheet: Sheet) -> list[CutListRow]:
    """The rows of what an operation makes: several where it works on pieces that differ."""
    worked = set(op.parts)
    return [row for row in sheet.cutting_list if row.part == made.part and not worked.isdisjoint(row.of)]


def made_text(made: ToSize, row: CutListRow, units: Units) -> str:
    """The sizes of one part with their words: "70 mm wide, 25 mm thick"."""
    values = dict(zip(MEASURES, row.rough_mm if made.stage == "rough" else row.finished_mm, strict=False))
    return ", ".join(f"{show(values[measure], LENGTH, units)} {ADJECTIVES[measure]}" for measure in made.measures)


def formulas_made(op: Operation, sheet: Sheet) -> set[Formula]:
    """The formulas of the sizes that an operation makes."""
    parts = {part.id: part for part in sheet.parts}
    return {
        formula
        for made in op.to_size
        for row in rows_at(op, made, sheet)
        for measure, formula in zip(MEASURES, parts[row.of[0]].size, strict=False)
        if measure in made.measures and made.stage != "rough"
    }
