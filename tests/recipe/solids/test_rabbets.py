"""What lies in a rabbet that is drawn fits it, or goes too far into the wood."""

import pytest
from benchbell.recipe.solids.contacts import contacts
from benchbell.recipe.solids.layout import layout
from benchbell.recipe.solids.rabbets import excesses
from small_recipes import compiled, work

RABBET = '{ edge = "back right", x = "10 mm", y = "8 mm", shape = "rabbet" }'


def case(back):
    """How far each pair goes too far, by names, of two sides with a rabbet and a back."""
    text = f"""title = "Case"

[[part]]
id = "side"
count = 2
stock = "white ash"
size = ["300 mm", "100 mm", "20 mm"]
lies = {{ way = "zyx", x = "over 400 mm", off = [{RABBET}] }}

[[part]]
id = "back"
stock = "birch plywood"
material = "sheet"
{back}
"""
    sheet = compiled(text + work("plane", ["side", "back"]))
    laid = layout(sheet.placings, {})
    return {(laid[one.part].name, laid[one.host].name): round(one.mm, 3) for one in excesses(laid, contacts(laid))}


def plain(width, y="to side.back", thick="8 mm"):
    """A back as wide as that."""
    return f'size = ["{width}", "300 mm", "{thick}"]\nlies = {{ way = "xzy", y = "{y}" }}'


@pytest.mark.parametrize(
    ("width", "mm"), [("370 mm", None), ("380 mm", None), ("381 mm", None), ("384 mm", 2.0), ("396 mm", 8.0)]
)
def test_a_back_goes_as_far_as_its_rabbets(width, mm):
    # Between the rabbets 400 - 2 * (20 - 10) = 380 mm.
    wanted = {} if mm is None else {("back", "side-1"): mm, ("back", "side-2"): mm}

    assert case(plain(width)) == wanted


def test_a_back_that_stands_proud_or_is_thin_is_judged_by_its_width():
    assert case(plain("384 mm", "to side.back + 2 mm")) == case(plain("384 mm", thick="6 mm"))


def test_what_lies_in_a_groove_in_front_of_the_rabbet_is_no_matter():
    assert case(plain("384 mm", "to side.back - 20 mm")) == {}


def test_what_goes_in_front_of_the_rabbets_floor_too_lies_in_a_groove():
    assert case(plain("384 mm", thick="14 mm")) == {}


def test_what_only_crosses_a_rabbet_does_not_lie_in_it():
    shelf = 'size = ["384 mm", "100 mm", "8 mm"]\nlies = { way = "xyz", z = "from 100 mm" }'

    assert case(shelf) == {}


def test_what_has_a_rabbet_itself_may_fit_over_the_other():
    lipped = plain("384 mm").replace(
        '"to side.back"', '"to side.back", off = [{ edge = "front left", x = "4 mm", y = "4 mm", shape = "rabbet" }]'
    )

    assert case(lipped) == {}


def test_a_tongue_that_two_rabbets_leave_goes_into_its_groove():
    text = """title = "Case"

[[part]]
id = "shelf"
stock = "white ash"
size = ["400 mm", "100 mm", "20 mm"]
lies = { way = "xyz", z = "from 100 mm", off = [{ edge = "top left", x = "6 mm", z = "8 mm", shape = "rabbet" }] }

[[part]]
id = "side"
stock = "white ash"
size = ["300 mm", "100 mm", "20 mm"]
lies = { way = "zyx", x = "to shelf.left + 6 mm" }
"""
    laid = layout(compiled(text + work("plane", ["shelf", "side"])).placings, {})

    assert contacts(laid)[0].rooms
    assert excesses(laid, contacts(laid)) == []
