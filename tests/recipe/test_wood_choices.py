"""A wood of which no figures are known is told where it is chosen."""

import pytest
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.expansion import FragmentText
from small_recipes import LEGS, RAIL, TITLE, work

CHOICE = """
[choice.wood]
ask = "Which wood?"
default = "{default}"
among = ["white ash", "wite ash", "birch plywood"]
"""
MOVES = 'movement("{wood}", "flat", 70 mm)'
SIZES = f"\n[size]\nplay = '{MOVES}'\ngap = '2 * {MOVES}'\n"
SHOWN = work("slot", ["leg", "rail"], 'show = ["play", "gap"]')


def errors_in(text, fragments=(), **chosen):
    """Rule, line and sentence of all that is wrong."""
    found = compile_text(text, "stool.toml", chosen=chosen, fragments=dict(fragments)).findings
    return [(one.rule, one.file, one.line, one.what) for one in found if one.grade == "error"]


def recipe(default="white ash", rest=SIZES, work=SHOWN):
    """A stool that asks for its wood."""
    return TITLE + CHOICE.replace("{default}", default) + rest + LEGS + RAIL + work


@pytest.mark.parametrize(("default", "chosen"), [("wite ash", {}), ("white ash", {"wood": "wite ash"})])
def test_a_slip_is_told_once_and_at_the_choice(default, chosen):
    expected = [("choice", "stool.toml", 3, 'Choice wood: No wood is called "wite ash".')]

    assert errors_in(recipe(default), **chosen) == expected
    assert errors_in(recipe()) == []


def test_what_is_no_wood_may_be_chosen_where_no_formula_wants_its_figures():
    assert errors_in(recipe("birch plywood", "", work("plane", ["leg", "rail"]))) == []
    assert [one[:3] for one in errors_in(recipe("birch plywood"))] == [("choice", "stool.toml", 3)]


def test_a_size_that_other_answers_want_is_not_asked_for():
    solid = SHOWN.replace("[[operation]]", "[[operation]]\nwhen = 'wood = \"white ash\"'")
    text = recipe("birch plywood", work=solid + work("plane", ["leg", "rail"]))

    assert errors_in(text) == []


@pytest.mark.parametrize("own", ["", 'among = ["white ash", "white oak"]'])
def test_a_slip_that_is_handed_on_to_fragments_is_told_at_the_choice_too(own):
    inner = TITLE + f'[choice.wood]\nask = "Which?"\ndefault = "white ash"\n{own}\n' + SIZES + LEGS + RAIL + SHOWN
    uses = "".join(
        f'\n[[use]]\nfragment = "box"\nas = "{name}"\nset = {{ wood = "{{wood}}" }}\n' for name in ("left", "right")
    )
    text = recipe("wite ash", uses, work("plane", ["leg", "rail"]))

    assert [one[:3] for one in errors_in(text, {"box": FragmentText("box.toml", inner)})] == [
        ("choice", "stool.toml", 3)
    ]
