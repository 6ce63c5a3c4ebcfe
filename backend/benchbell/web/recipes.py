"""The recipes a build can be started from: listed, read, and checked as somebody types."""

import asyncio
import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from litestar import get, post
from litestar.di import NamedDependency as Given
from litestar.params import FromPath, RawBody

from benchbell.recipe.compiler import compile_text
from benchbell.recipe.read import MOST_BYTES
from benchbell.recipe.sheet import Sheet
from benchbell.settings import Settings
from benchbell.web.body import read, taking
from benchbell.web.errors import PROBLEMS, NotHere
from benchbell.web.messages import RECIPE_NAME, CheckedRecipe, RecipeLine, Recipes, RecipeText, ToCheck
from benchbell.web.runtime import ShopRuntime


def recipe_files(settings: Settings) -> dict[str, Path]:
    """Every recipe's file by name; of two with one name, the one in the earlier folder."""
    files = [file for folder in reversed(settings.recipes) for file in folder.glob("*.toml")]
    return {file.stem: file for file in sorted(files, key=lambda f: f.stem) if re.match(RECIPE_NAME, file.stem)}


def recipe_text(settings: Settings, name: str) -> str:
    """A recipe as written. Raises NotHere."""
    file = recipe_files(settings).get(name)
    if file is None:
        raise NotHere(f"There is no recipe {name!r:.90} here.", "Choose one from the list.")
    with file.open("rb") as opened:
        return opened.read(MOST_BYTES + 1).decode("utf-8", "replace")


def compiled_lines(settings: Settings) -> Iterator[RecipeLine]:
    """Each recipe's line."""
    for name in recipe_files(settings):
        yield line_of(name, recipe_text(settings, name))


@lru_cache(maxsize=200)
def line_of(name: str, text: str) -> RecipeLine:
    """A recipe's line, compiled for one piece. The same text gives the same line, so it is compiled once."""
    sheet = compile_text(text, f"{name}.toml")
    grades = [finding.grade for finding in sheet.findings]
    return RecipeLine(name, sheet.title or name, sheet.about, grades.count("error"), grades.count("warning"))


@get("/recipes", responses=PROBLEMS, summary="All recipes")
async def recipes(shop: Given[ShopRuntime]) -> Recipes:
    """Read afresh each time: a maker edits them beside the server."""
    return Recipes(await asyncio.to_thread(lambda: list(compiled_lines(shop.settings))))


@get("/recipes/{name:str}", responses=PROBLEMS, summary="One recipe as written")
async def recipe(name: FromPath[str], shop: Given[ShopRuntime]) -> RecipeText:
    """Its text."""
    return RecipeText(name, await asyncio.to_thread(recipe_text, shop.settings, name))


@post(
    "/recipes/check",
    status_code=200,
    request_max_body_size=2 * MOST_BYTES,
    responses=PROBLEMS,
    operation_class=taking(ToCheck),
    summary="What is wrong, or worth knowing, about a recipe's text",
)
async def check_recipe(body: RawBody) -> CheckedRecipe:
    """Findings, errors first."""
    sheet: Sheet = await asyncio.to_thread(compile_text, read(body, ToCheck).text, "recipe.toml")
    return CheckedRecipe(sheet.findings)
