"""The recipes that a build can start from: list, text, and a check of a text while somebody types."""

import asyncio
import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from litestar import get, post
from litestar.di import NamedDependency as Given
from litestar.params import FromPath, RawBody

from benchbell.fragment_files import FragmentFiles, short_name
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.read import MOST_BYTES
from benchbell.recipe.sheet import Sheet
from benchbell.settings import Settings
from benchbell.web.body import decoded, json_body
from benchbell.web.errors import REFUSALS, NotHere
from benchbell.web.messages import RECIPE_NAME, CheckedRecipe, RecipeLine, Recipes, RecipeText, ToCheck
from benchbell.web.runtime import ShopRuntime


def recipe_files(settings: Settings) -> dict[str, Path]:
    """Every recipe's file by name, sorted; of two with one name, the one in the earlier folder."""
    files = [file for folder in reversed(settings.recipes) for file in folder.glob("*.toml")]
    return {file.stem: file for file in sorted(files, key=lambda f: f.stem) if re.match(RECIPE_NAME, file.stem)}


def recipe_text(settings: Settings, name: str) -> str:
    """A recipe's text, cut just beyond the size the compiler accepts. Raises NotHere for an unknown name."""
    file = recipe_files(settings).get(name)
    if file is None:
        raise NotHere(f"There is no recipe {name!r:.90} here.", "Choose one from the list.")
    with file.open("rb") as opened:
        return opened.read(MOST_BYTES + 1).decode("utf-8", "replace")


def fragments_of(settings: Settings) -> FragmentFiles:
    """The fragments that recipes may use."""
    return FragmentFiles(settings.recipes, short_name)


def compiled_lines(settings: Settings) -> Iterator[RecipeLine]:
    """The list's line for each recipe."""
    state = fragments_of(settings).state()
    for name in recipe_files(settings):
        yield line_of(name, recipe_text(settings, name), settings.recipes, state)


@lru_cache(maxsize=200)
def line_of(name: str, text: str, folders: tuple[Path, ...], state: tuple[object, ...]) -> RecipeLine:
    """A recipe's line in the list, compiled for one piece. state: of the fragments in the folders.

    Cached, because the same text with the same fragments gives the same line.
    """
    sheet = compile_text(text, f"{name}.toml", fragments=FragmentFiles(folders))
    grades = [finding.grade for finding in sheet.findings]
    errors, warnings = grades.count("error"), grades.count("warning")
    return RecipeLine(name, sheet.title or name, sheet.about, errors, warnings, sheet.units, sheet.choices)


@get("/recipes", responses=REFUSALS, summary="All recipes")
async def recipes(shop: Given[ShopRuntime]) -> Recipes:
    """Read from disk each time, because makers edit the files while the server runs."""
    return Recipes(await asyncio.to_thread(lambda: list(compiled_lines(shop.settings))))


@get("/recipes/{name:str}", responses=REFUSALS, summary="One recipe's text")
async def recipe(name: FromPath[str], shop: Given[ShopRuntime]) -> RecipeText:
    """Raises NotHere for an unknown name."""
    return RecipeText(name, await asyncio.to_thread(recipe_text, shop.settings, name))


@post(
    "/recipes/check",
    status_code=200,
    request_max_body_size=2 * MOST_BYTES,
    responses=REFUSALS,
    operation_class=json_body(ToCheck),
    summary="Check a recipe's text",
)
async def check_recipe(body: RawBody, shop: Given[ShopRuntime]) -> CheckedRecipe:
    """The findings, errors first. Raises Unreadable."""
    text, fragments = decoded(body, ToCheck).text, fragments_of(shop.settings)
    sheet: Sheet = await asyncio.to_thread(compile_text, text, "recipe.toml", fragments=fragments)
    return CheckedRecipe(sheet.findings)
