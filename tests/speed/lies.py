"""How long it takes to compile each shipped recipe, and to check how its parts lie; one `name: value` a line.

Times are of the processor, in ms, the best of five. compile_ms_RECIPE: from the text to the checked sheet.
lies_ms_RECIPE: laying the parts of a piece, finding what touches, and judging it.
lies_parts_RECIPE: how many parts that are. lies_bytes_RECIPE: the places in the sheet, as JSON.
"""

import sys
from collections.abc import Callable
from functools import partial
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


def best_ms(timed: Callable[[], object]) -> float:
    """The best of five times, in ms."""
    times = []
    for _ in range(5):
        began = process_time()
        timed()
        times.append((process_time() - began) * 1000)
    return min(times)


def compiled_from(text: str) -> Sheet:
    """The sheet of a shipped recipe."""
    return compile_text(text, "recipe", fragments=FRAGMENTS)


FRAGMENTS = shipped_fragments()
for file in sorted((ROOT / "recipes").glob("*.toml")):
    text = file.read_text(encoding="utf-8")
    compiled = compiled_from(text)
    print(f"compile_ms_{file.stem}: {best_ms(partial(compiled_from, text)):.0f}")
    print(f"lies_ms_{file.stem}: {best_ms(partial(judged, compiled)):.1f}")
    print(f"lies_parts_{file.stem}: {judged(compiled)}")
    print(f"lies_bytes_{file.stem}: {len(msgspec.json.encode(compiled.placings))}")
