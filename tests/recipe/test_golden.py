"""The compiled sheets of the shipped recipes, as somebody has read them.

After a change that is meant: pytest tests/recipe/test_golden.py --write-golden, and read the difference.
"""

from pathlib import Path

import msgspec
import pytest
from benchbell.recipe.compiler import compile_text

ROOT = Path(__file__).parents[2]
RECIPES = sorted((ROOT / "recipes").glob("*.toml"))
GOLDEN = ROOT / "tests/golden"


def sheet_of(recipe):
    """Its sheet for two pieces, as JSON; glue figures are left out, tests/trade/test_grid.py holds them."""
    sheet = msgspec.to_builtins(compile_text(recipe.read_text(encoding="utf-8"), recipe.name, 2))
    text = msgspec.json.encode({key: value for key, value in sheet.items() if key != "figures"})
    return msgspec.json.format(text, indent=1).decode() + "\n"


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda file: file.stem)
def test_the_sheet_is_the_one_that_was_read(recipe, request):
    golden = GOLDEN / f"{recipe.stem}.json"
    if request.config.getoption("--write-golden"):
        golden.write_text(sheet_of(recipe), encoding="utf-8")

    assert golden.read_text(encoding="utf-8") == sheet_of(recipe)


def test_there_is_a_sheet_for_every_recipe_and_no_other():
    assert [file.stem for file in RECIPES] == sorted(file.stem for file in GOLDEN.glob("*.json"))


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda file: file.stem)
def test_a_shipped_recipe_has_no_finding(recipe):
    for pieces in (1, 3, 26):
        sheet = compile_text(recipe.read_text(encoding="utf-8"), recipe.name, pieces)

        assert [str(finding) for finding in sheet.findings] == []
