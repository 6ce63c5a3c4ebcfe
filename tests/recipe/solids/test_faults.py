"""Run through, weakened, in pieces, not standing: worked by hand, and the same wherever the piece is."""

from functools import cache
from pathlib import Path

import pytest
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.solids.contacts import contacts
from benchbell.recipe.solids.faults import groups, run_through, standing, weakened
from benchbell.recipe.solids.layout import layout
from hypothesis import given, settings
from hypothesis import strategies as st
from recipe_parts import POST, RAIL, block, shifted
from shipped import shipped_fragments

RECIPES = sorted((Path(__file__).parents[3] / "recipes").glob("*.toml"))


def test_a_post_that_keeps_two_fifths_is_strong_enough():
    # By hand: of 40 by 40 a joint of 20 wide takes half when 40 deep, and 62.5 % when 25 wide and 40 deep.
    half = [block(POST), block(RAIL, by=(-40, -10, 0))]
    more = [block(POST), block(((-20.0, -10.0, 100.0), (300.0, 15.0, 160.0), 0))]

    assert [] == weakened(half, contacts(half))
    assert [0.625] == pytest.approx([one.share for one in weakened(more, contacts(more))])


def test_joints_at_one_height_add_up():
    # By hand: 30 by 20 from one side and 20 by 20 from the other take 1000 of 1600, which is 62.5 %.
    parts = [block(POST), block(RAIL, by=(-30, -20, 0)), block(((-300.0, 0.0, 120.0), (0.0, 20.0, 140.0), 0))]
    (found,) = weakened(parts, contacts(parts))

    assert 0.625 == pytest.approx(found.share)
    assert (0, 1) == (found.part, found.by)


def test_where_two_cross_each_gives_half():
    parts = [block(POST), block(((-300.0, -20.0, 100.0), (300.0, 20.0, 140.0), 0))]

    assert [] == weakened(parts, contacts(parts))


def test_what_does_not_touch_falls_into_groups():
    parts = [block(POST), block(RAIL), block(RAIL, by=(400, 0, 0))]

    assert [[0, 1], [2]] == groups([[0], [1], [2]], contacts(parts))
    assert [[0], [1]] == groups([[0, 1], [2]], contacts(parts))


def test_a_post_with_a_long_arm_falls_over():
    # By hand: the post is 640 cm³, the rail 360, its middle 170 to the right: 0.36 · 170 = 61.2.
    parts = [block(POST), block(RAIL, by=(0, -10, 0))]
    found = standing(parts)

    assert (0, 61.2, 0) == pytest.approx((found.lowest, found.x, found.y))
    assert found.tips
    assert not standing(parts[:1]).tips


@cache
def pieces(recipe):
    """A shipped recipe's parts where they lie."""
    sheet = compile_text(recipe.read_text(encoding="utf-8"), recipe.name, fragments=shipped_fragments())
    return layout(sheet.placings, {size.name: size.plan for size in sheet.sizes})


def said(parts):
    """All that can be found about a piece, without where it is."""
    found = contacts(parts)
    touching = [(one.a, one.b, len(one.joint)) for one in found]
    return touching, [(one.a, one.b) for one in run_through(parts, found)], weakened(parts, found), standing(parts).tips


coordinates = st.floats(-2000, 2000).map(lambda mm: round(mm, 3))


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda file: file.stem)
@settings(max_examples=3, deadline=None)
@given(by=st.tuples(coordinates, coordinates, coordinates))
def test_moving_all_changes_no_finding(recipe, by):
    parts = pieces(recipe)

    assert said(parts) == said([shifted(part, by) for part in parts])


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda file: file.stem)
def test_what_touches_does_not_depend_on_the_order_of_parts(recipe):
    parts = pieces(recipe)
    last = len(parts) - 1
    forwards = {(one.a, one.b, len(one.joint)) for one in contacts(parts)}
    backwards = {(last - one.b, last - one.a, len(one.joint)) for one in contacts(parts[::-1])}

    assert forwards == backwards
