"""A forgotten unit is told once, at the size that has none."""

import re
from pathlib import Path

import pytest
from benchbell.fragment_files import FragmentFiles
from benchbell.recipe.compiler import compile_text
from small_recipes import LEGS, RAIL, TITLE, rules, work

RECIPES = Path(__file__).parents[2] / "recipes"
FRAGMENTS = FragmentFiles((RECIPES,))
SIZE = re.compile(r'^([a-z_]+) = (?:\{ plan = )?"([\d ./]+) (?:mm|in)"', re.MULTILINE)


def without_unit(name):
    """Of a shipped recipe, each named size that is a length, and the text in which its unit is forgotten."""
    text = (RECIPES / f"{name}.toml").read_text(encoding="utf-8")
    sizes = text[text.index("[size]") : text.index("[[part]]")]
    for found in SIZE.finditer(sizes):
        start = text.index("[size]") + found.end(2)
        yield found[1], text[:start] + text[text.index('"', start) :]


def errors_in(text, name="recipe.toml"):
    """What is wrong with a recipe."""
    return [one for one in compile_text(text, name, fragments=FRAGMENTS).findings if one.grade == "error"]


@pytest.mark.parametrize("name", sorted(file.stem for file in RECIPES.glob("*.toml")))
def test_one_forgotten_unit_of_a_shipped_recipe_is_one_error(name):
    mutants = list(without_unit(name))

    assert len(mutants) > 5
    for size, text in mutants[::3]:
        found = errors_in(text)
        assert [(one.rule, f"Size {size}:" in one.what) for one in found] in ([("no-unit", True)], []), size


SIZED = TITLE + "\n[size]\n{size}\n" + LEGS + RAIL.replace('"25 mm"', '"{used}"') + work("plane", ["leg", "rail"])


@pytest.mark.parametrize(
    ("size", "used", "said"),
    [
        ('rail = "25"', "rail", ["no-unit"]),
        ('rail = "25"', "rail + 1 mm", ["no-unit"]),
        ('half = "n / 2"\nn = "25"', "half + 1 mm", ["no-unit"]),
        ('turn = "45"\nn = "cos(turn)"', "n * 25 mm", ["no-unit"]),
        ('a = "20"\nb = "5"\nc = "a + b"', "c", ["no-unit", "no-unit"]),
        ('n = "2"', "50 mm / n", []),
        ('n = "2"\nm = "50 mm - 10 mm * n"', "m + n", ["formula"]),
        ('n = "2"\nm = "50 mm + n"', "50 mm / n", ["formula"]),
    ],
)
def test_only_what_a_unit_would_mend_is_told_at_the_size(size, used, said):
    assert rules(SIZED.replace("{size}", size).replace("{used}", used)) == said


def test_two_forgotten_units_are_two_errors():
    text = SIZED.replace("{size}", 'a = "20"\nb = "40"').replace("{used}", "a").replace('"70 mm"', '"b + 30 mm"')

    assert [(one.line, one.next_step) for one in errors_in(text)] == [
        (4, "Write it with its unit, such as 20 mm."),
        (5, "Write it with its unit, such as 40 mm."),
    ]
