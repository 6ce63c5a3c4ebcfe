import json
import tomllib
from pathlib import Path

import jsonschema
import msgspec
import pytest
from benchbell.commands.check import schema, with_formulas
from benchbell.recipe.written import Recipe

RECIPES = sorted((Path(__file__).parents[2] / "recipes").glob("*.toml"))
BAD_FORM = [
    file
    for file in sorted((Path(__file__).parent / "bad").glob("form.*"))
    if "[[use]]" not in (text := file.read_text(encoding="utf-8")) and "[choice." not in text
]
"""Those whose form alone is wrong: no schema knows what a formula comes to, or what stands in a fragment."""


def validator():
    """The schema in a JSON Schema library."""
    jsonschema.Draft202012Validator.check_schema(schema())
    return jsonschema.Draft202012Validator(schema())


def table(file):
    """A recipe's TOML as JSON has it, which knows no dates."""
    return json.loads(json.dumps(tomllib.loads(file.read_text(encoding="utf-8")), default=lambda date: None))


@pytest.mark.parametrize("file", RECIPES, ids=lambda file: file.stem)
def test_shipped_recipes_are_of_the_schema(file):
    assert [error.message for error in validator().iter_errors(table(file))] == []


@pytest.mark.parametrize("file", BAD_FORM, ids=lambda file: file.stem)
def test_recipes_of_the_wrong_form_are_not(file):
    assert not validator().is_valid(table(file))


def test_every_key_says_what_it_means():
    definitions = schema()["$defs"].values()
    keys = {f"{one['title']}.{key}": value for one in definitions for key, value in one["properties"].items()}

    assert [key for key, value in keys.items() if not value.get("description")] == []


def test_the_schema_is_that_of_the_structs_with_formulas_for_numbers():
    of_structs = json.loads(msgspec.json.encode(msgspec.json.schema(Recipe)))["$defs"]

    assert schema()["$defs"] == with_formulas(of_structs)
    assert schema()["$defs"]["PartText"]["properties"]["count"]["type"] == ["integer", "string"]
