"""What touches and what shares room, worked by hand."""

from benchbell.recipe.solids.contacts import contacts
from recipe_parts import POST, RAIL, block


def pairs(*parts):
    """By pair of numbers, whether they share room."""
    return {(one.a, one.b): bool(one.joint) for one in contacts(parts)}


def test_faces_touch_up_to_three_tenths():
    post, near, far = block(POST), block(RAIL, by=(0.25, 0, 0)), block(RAIL, by=(0.35, 0, 0))

    assert {(0, 1): False} == pairs(post, near)
    assert {} == pairs(post, far)


def test_a_tenon_shares_room_with_its_mortise():
    (found,) = contacts([block(POST), block(RAIL, by=(-20, 0, 0))])

    assert ((0, 0, 100), (20, 20, 160)) == (found.low, found.high)


def test_what_is_thinner_than_a_joint_only_touches():
    assert {(0, 1): False} == pairs(block(POST), block(RAIL, by=(-0.6, 0, 0)))
    assert {(0, 1): True} == pairs(block(POST), block(RAIL, by=(-0.8, 0, 0)))
