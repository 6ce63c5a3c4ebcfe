"""How long it takes to check how parts lie, for each shipped recipe, one `name: value` a line.

lies_ms_RECIPE: laying the parts of a piece, finding what touches, and judging it; the best of five, in ms.
lies_parts_RECIPE: how many parts that are. lies_bytes_RECIPE: the places in the sheet, as JSON.
"""

import sys
from pathlib import Path
from time import process_time

ROOT = Path(__file__).parents[2]
sys.path[:1] = [str(ROOT / "tests"), str(ROOT / "backend")]

import msgspec
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.sheet import Sheet
from benchbell.recipe.solids.contacts import contacts
from benchbell.recipe.solids.faults import run_through, standing, weakened
from benchbell.recipe.solids.layout import layout
from shipped import shipped_fragments


def judged(sheet: Sheet) -> int:
    """All that is found about a piece; gives its number of parts."""
    parts = layout(sheet.placings, {size.name: size.plan for size in sheet.sizes})
    found = contacts(parts)
    run_through(parts, found)
    weakened(parts, found)
    standing(parts)
    return len(parts)


def best_ms(sheet: Sheet) -> float:
    """The best of five times, in ms."""
    times = []
    for _ in range(5):
        began = process_time()
        judged(sheet)
        times.append((process_time() - began) * 1000)
    return min(times)


for file in sorted((ROOT / "recipes").glob("*.toml")):
    compiled = compile_text(file.read_text(encoding="utf-8"), file.name, fragments=shipped_fragments())
    print(f"lies_ms_{file.stem}: {best_ms(compiled):.1f}")
    print(f"lies_parts_{file.stem}: {judged(compiled)}")
    print(f"lies_bytes_{file.stem}: {len(msgspec.json.encode(compiled.placings))}")
