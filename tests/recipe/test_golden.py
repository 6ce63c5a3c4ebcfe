"""The compiled sheets of the shipped recipes, as somebody has read them.

After a change that is meant: pytest tests/recipe/test_golden.py --write-golden, and read the difference.
"""

import json

import msgspec
import pytest
from shipped import RECIPES, ROOT, compile_file

GOLDEN = ROOT / "tests/golden"


def without_empty(value):
    """A value without what is empty, and figures without the last bits in which machines differ."""
    if isinstance(value, dict):
        return {key: without_empty(inner) for key, inner in value.items() if inner not in ("", None, False, [], {})}
    if isinstance(value, list):
        return [without_empty(inner) for inner in value]
    return float(f"{value:.9g}") if isinstance(value, float) else value


def sheet_of(recipe):
    """Its sheet for one piece as JSON, a line a row. Glue figures are left out: test_figure_grid.py holds them."""
    compiled = msgspec.json.encode(compile_file(recipe))
    sheet = {key: value for key, value in without_empty(json.loads(compiled)).items() if key != "figures"}
    lines = ",\n".join(f'"{key}": {lines_of(value)}' for key, value in sheet.items())
    return f"{{\n{lines}\n}}\n"


def lines_of(value):
    """A value on one line; a list with a line for each row."""
    if not isinstance(value, list):
        return json.dumps(value, ensure_ascii=False)
    return "[\n" + ",\n".join(f"  {json.dumps(row, ensure_ascii=False)}" for row in value) + "\n]"


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
    for pieces in (1, 26):
        sheet = compile_file(recipe, pieces)

        assert [str(finding) for finding in sheet.findings] == []
