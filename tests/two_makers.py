"""The two recipes of makers, a clock case and a chair, and changes of them: each text with what stands in its place."""

import re

from benchbell.recipe.compiler import compile_text
from benchbell.recipe.shop_profile import ShopProfile
from shipped import FOLDER, shipped_fragments

CLOCK, CHAIR = FOLDER / "mantel-clock.toml", FOLDER / "porch-chair.toml"
USUAL = ShopProfile()


def table_of(recipe, id):
    """The text of the one table with that id, up to the next table."""
    text = recipe.read_text(encoding="utf-8")
    found = re.findall(rf'^\[\[\w+\]\]\nid = "{id}"\n.*?(?=^\[\[)', text, re.DOTALL | re.MULTILINE)
    assert len(found) == 1, (id, len(found))
    return found[0]


def changed_in(recipe, id, old, new):
    """A change of one text in a table."""
    table = table_of(recipe, id)
    assert table.count(old) == 1, (id, old)
    return {table: table.replace(old, new)}


def without(recipe, id):
    """A change that takes a table out."""
    return {table_of(recipe, id): ""}


def put_before(recipe, id, text):
    """A change that puts other tables before one."""
    table = table_of(recipe, id)
    return {table: f"{text.strip()}\n\n{table}"}


def moved_before(recipe, id, other):
    """A change that moves a table before another one."""
    return {table_of(recipe, id): ""} | put_before(recipe, other, table_of(recipe, id))


def sheet_with(recipe, change, shop=USUAL, pieces=1, **chosen):
    """The sheet of a recipe after a change."""
    text = recipe.read_text(encoding="utf-8")
    for old, new in change.items():
        assert text.count(old) == 1, f"{text.count(old)} times: {old}"
        text = text.replace(old, new)
    return compile_text(text, recipe.name, pieces, shop, chosen, shipped_fragments())
