"""Which joints can be put together and drawn apart again."""

import pytest
from benchbell.recipe.solids.contacts import contacts
from benchbell.recipe.solids.way_out import has_way_out
from recipe_parts import POST, RAIL, block

JOINTS = {
    "a tenon in a mortise": (block(RAIL, by=(-20, 0, 0)), True),
    "a tenon right through, flush": (block(RAIL, by=(-40, 0, 0)), True),
    "a tenon that stands out behind": (block(RAIL, by=(-70, 0, 0), tenon=True), True),
    "a rail that runs right through with its whole section": (block(RAIL, by=(-70, -10, 0)), False),
    "a rail in a notch of the back": (block(RAIL, by=(-150, 0, 0)), True),
    "a rail inside": (block(RAIL, by=(-150, -10, 0)), False),
    "a bar shut in": (block(((-10.0, -10.0, 50.0), (10.0, 10.0, 90.0), 2)), False),
}


@pytest.mark.parametrize("joint", JOINTS)
def test_it_comes_apart_or_not(joint):
    rail, apart = JOINTS[joint]
    parts = [block(POST), rail]
    (found,) = contacts(parts)

    assert apart == has_way_out(found, parts)


@pytest.mark.parametrize("joint", JOINTS)
def test_it_does_not_matter_which_of_the_two_is_first(joint):
    rail, apart = JOINTS[joint]
    parts = [rail, block(POST)]
    (found,) = contacts(parts)

    assert apart == has_way_out(found, parts)
