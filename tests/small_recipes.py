"""Recipe text in small pieces: two legs and a rail, and what is done to them."""

from benchbell.recipe.compiler import compile_text
from benchbell.recipe.shop_profile import ShopProfile

TITLE = 'title = "Stool"\n'

LEGS = """
[[part]]
id = "leg"
count = 2
stock = "white ash"
size = ["420 mm", "40 mm", "40 mm"]
"""

RAIL = """
[[part]]
id = "rail"
stock = "white ash"
size = ["340 mm", "70 mm", "25 mm"]
"""

PARTS = TITLE + LEGS + RAIL


def work(id, parts, keys=""):
    """An operation; keys: further lines of it."""
    named = ", ".join(f'"{name}"' for name in parts)
    return f'\n[[operation]]\nid = "{id}"\nparts = [{named}]\ndo = "Do it."\n{keys}\n'


FIT = work("fit", ["leg", "rail"], "dry_fit = true")


def glue(more="", keys='makes = "frame"', with_="pva-interior", spread="3 min"):
    """A glue-up of legs and rail; more: further keys of the glue."""
    line = f'glue = {{ with = "{with_}", spread = "{spread}"{more} }}'
    return work("glue", ["leg", "rail"], f"{keys}\n{line}")


def compiled(text, pieces=1, **shop):
    """Its sheet."""
    return compile_text(text, "small.toml", pieces, ShopProfile(**shop))


def sound(text, pieces=1, **shop):
    """The sheet of a recipe about which there is nothing to say."""
    sheet = compiled(text, pieces, **shop)

    assert [str(finding) for finding in sheet.findings] == []
    return sheet


def operations(text, pieces=1, **shop):
    """Its operations by name, of a recipe without errors."""
    sheet = compiled(text, pieces, **shop)

    assert [str(finding) for finding in sheet.findings if finding.grade == "error"] == []
    return {op.name: op for op in sheet.operations}


def rules(text, pieces=1, **shop):
    """The rules that have something to say."""
    return [finding.rule for finding in compiled(text, pieces, **shop).findings]
