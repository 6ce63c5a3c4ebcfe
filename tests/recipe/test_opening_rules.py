"""Doors and drawers that do not go into their opening are told, whatever else the piece has."""

import pytest
from benchbell.recipe.compiler import compile_text


def part(id, size, lies, count=1):
    """A part as written."""
    stock = 'stock = "birch plywood"\nmaterial = "sheet"'
    return f'[[part]]\nid = "{id}"\ncount = {count}\n{stock}\nsize = {size}\nlies = {{ {lies} }}\n'


def work(id, parts, keys):
    """An operation as written."""
    return f'[[operation]]\nid = "{id}"\nparts = {parts}\n{keys}\n'


GLUE = 'glue = { with = "pva-interior", spread = "3 min" }'


def case_with(
    shelves=2, wide=380, at="-100", put_in="Hang the door on two hinges.", groove="Groove them for the panel."
):
    """A case 400 mm wide, 360 mm inside, with shelves and a door of five parts. wide: of the door; at: its front."""
    box = ["side", "end", "shelf", "back"]
    leaf = ["door-stile", "door-rail", "door-panel"]
    quoted = [str(names).replace("'", '"') for names in (box, leaf)]
    return "".join(
        (
            'title = "Case"\nhangs = true\n',
            part("side", '["600 mm", "200 mm", "20 mm"]', 'way = "zyx", x = "over 400 mm"', 2),
            part("end", '["360 mm", "200 mm", "20 mm"]', 'way = "xyz", z = ["from 0 mm", "to 600 mm"]', 2),
            part("shelf", '["360 mm", "100 mm", "20 mm"]', 'way = "xyz", z = "row 100 mm from 100 mm"', shelves),
            part("back", '["360 mm", "560 mm", "10 mm"]', 'way = "xzy", y = "to 100 mm", z = "from 20 mm"'),
            part("door-stile", '["550 mm", "50 mm", "20 mm"]',
                f'way = "zxy", x = "over {wide} mm", y = "from {at} mm", z = "from 25 mm"', 2),
            part("door-rail", f'["{wide - 100} mm", "50 mm", "20 mm"]',
                f'way = "xzy", y = "from {at} mm", z = ["from 25 mm", "to 575 mm"]', 2),
            part("door-panel", f'["450 mm", "{(wide - 100) / 3} mm", "10 mm"]',
                f'way = "zxy", x = "row 0 mm", y = "from {at} mm + 5 mm", z = "from 75 mm"', 3),
            work("groove", quoted[1], f'do = "Door: {groove}"'),
            work("fit", quoted[0], 'dry_fit = true\ndo = "Dry."'),
            work("glue", quoted[0], f'makes = "case"\ndo = "Glue."\n{GLUE}'),
            work("fit-door", quoted[1], 'dry_fit = true\ndo = "Dry."'),
            work("glue-door", quoted[1], f'makes = "door-leaf"\ndo = "Glue."\n{GLUE}'),
            work("put-in", '["case", "door-leaf"]', f'makes = "cabinet"\ndo = "{put_in}"'),
        )
    )  # fmt: skip


def said(text):
    """What the checker says of it."""
    found = compile_text(text, "case.toml").findings
    return [str(one) for one in found]


@pytest.mark.parametrize("shelves", [1, 2, 3, 4])
def test_a_door_too_wide_is_told_whatever_else_the_case_has(shelves):
    (one,) = said(case_with(shelves))

    assert "hangs door-leaf, which is 20 mm too wide for its opening: side-1 and door-stile-1 share room" in one


@pytest.mark.parametrize("shelves", [1, 2, 3])
def test_a_door_that_fits_is_not_told(shelves):
    assert said(case_with(shelves, wide=355)) == []


def test_a_rebate_for_hinges_is_no_room_for_the_door():
    assert len(said(case_with(put_in="Hang the door on two hinges, in a rebate cut in the side."))) == 1


def test_a_rebate_of_the_door_is_room_for_it():
    assert said(case_with(groove="Rabbet the outer edges of the stiles.")) == []


def test_a_drawer_too_wide_is_told_as_that_and_as_nothing_else():
    (one,) = said(case_with(put_in="Slide the drawer in."))

    assert "puts in door-leaf, which is 20 mm too wide for its opening" in one


def test_a_drawer_too_deep_is_told():
    (one,) = said(case_with(wide=355, at="76", put_in="Slide the drawer in."))

    assert "puts in door-leaf, which is 6 mm too deep for its opening: back and door-stile-1 share room" in one
