import math
import tomllib

import msgspec
from benchbell.recipe.form import form_errors
from benchbell.recipe.written import Recipe
from hypothesis import example, given
from hypothesis import strategies as st
from msgspec.inspect import type_info

FORM = type_info(Recipe)

TEXT = """
title = "Everything"
about = "One of each key."
units = "mm"
lives = "damp"
allowance = 12.5
hangs = true

[choice.drawers]
ask = "How many drawers?"
default = 2
least = 1
most = "3"
step = 1

[choice.wood]
ask = "Which wood?"
default = "white ash"
among = ["white ash", "white oak"]

[[use]]
fragment = "drawer"
as = "upper"
title = "upper drawer"
set = { width = "height", count = 2, knob = true }
after = ["glue"]
when = ["drawers >= 2", "not wood"]

[size]
height = "450 mm"
clear = { plan = "300 mm", measure = "Between the legs.", within = "1 mm", least = "29 cm", most = "31 cm", once = true }

[[part]]
id = "leg"
title = "Leg"
count = 2
stock = "white ash"
material = "solid"
size = ["height", "40 mm", "40 mm"]
grain = "straight"
place = "left"
places = ["left", "right"]
mark = "face in"
pair = "mirrored"
mates = [{ end = "top", to = "leg-1", at = "foot", n = 2 }]
over = { length = "25 mm", width = "6 mm", thickness = "2 mm" }
note = "from one board"
board = "run"
match = "book"
edges = "one long"
once = true
lies = { way = "zxy", x = "over 9 cm", y = ["to 9 mm", "mid leg.top"], z = "on leg", copies = "x y", size = ["1 m", "4 cm", "4 cm"], count = 4, tenon = { long = "9 mm", thick = "8 mm", wide = "7 mm", up = "1 mm", end = "top" }, off = [{ edge = "top left", x = "1 mm", y = "2 mm", z = "3 mm", shape = "rabbet" }], lean = { x = "9 deg", y = "5 deg" }, round = "3 cm", bow = "5 mm" }
when = "drawers = 1"

[[setup]]
id = "fence"
station = "table saw"
title = "Fence"
set = { fence = "40 mm" }
minutes = 4
prove = "Rip a scrap."
needs = ["rip blade"]
when = "drawers = 1"

[[fixture]]
id = "form"
title = "Form"
about = "For the bow."
made = ["leg"]
owned = "press"
when = "drawers = 1"

[[operation]]
id = "glue"
title = "Glue"
fixtures = { form = 1 }
held_until = "glue"
do = ["Spread.", "Clamp."]
parts = ["leg"]
makes = "pair"
place = "left"
station = "bench"
setup = "fence"
after = ["glue"]
once = true
rough = true
minutes = { fixed = 3, setup = 4, each = 0.5 }
wait = "1 h"
wait_most = "2 h"
glue = { with = "pva-slow", joints = [{ area = "1 mm^2", count = 2, length = "1 m", depth = "9 mm" }], clamps = { band = 1 }, spread = "3 min", close = "1 min", stressed = true, open = "5 min", pot = "9 min", clamp = "1 h", rest = "1 d" }
coat = [{ with = "shellac", coats = 2, recoat = "1 h", recoat_most = "1 d", sand = "P320", sand_minutes = 9, faces = ["top"], turn = "2 h", do = "Brush.", minutes = { each = 2 } }]
steam = { radius = "300 mm", thickness = "20 mm", strap = true, dried = "air" }
press = "vacuum"
dry_fit = true
across = "room to move"
check = ["square"]
needs = ["cauls"]
caution = ["hands-clear"]
measure = ["clear"]
show = ["height"]
to_size = ["width"]
sharpen = { edges = ["plane iron"], minutes = 8 }
breakable = true
in_lengths = "600 mm"
accept = { no-dry-fit = "One piece.", part-too-small = { leg = "Held." } }
when = "drawers = 1"

[[hardware]]
name = "screw"
count = 8
unit = "pieces"
once = true
when = "drawers = 1"

[[consumable]]
name = "oil"
count = 0.2
unit = "l"
"""  # noqa: E501
TABLE = tomllib.loads(TEXT)

junk = st.recursive(
    st.sampled_from(["", "leg", "Leg", "a b", "x" * 401, True, 0, 1, -1, 201, 1.5, math.nan, math.inf, 3000]),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["id", "plan", "x y"]), inner, max_size=2)
    ),
    max_leaves=4,
)


def places(value, path=()):
    """Every place in a table, however deep."""
    yield path
    steps = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, inner in steps:
        yield from places(inner, (*path, step))


def changed(value, path, change):
    """A copy with what stands at a path changed; None takes it out."""
    if not path:
        return change(value)
    inner = changed(value[path[0]], path[1:], change)
    if isinstance(value, list):
        return [*value[: path[0]], *(() if inner is None else (inner,)), *value[path[0] + 1 :]]
    rest = {key: one for key, one in value.items() if key != path[0]}
    return rest if inner is None else rest | {path[0]: inner}


@st.composite
def damaged(draw):
    """A recipe's table in which something was replaced, taken out or put in."""
    table = TABLE
    for _ in range(draw(st.integers(1, 3))):
        path = draw(st.sampled_from([path for path in places(table) if path]))
        kind = draw(st.sampled_from(["replace", "take out", "put in"]))
        value = draw(junk)
        if kind == "put in":
            table = changed(table, path, lambda old, new=value: {**old, "new": new} if isinstance(old, dict) else new)
        else:
            table = changed(table, path, lambda _, new=None if kind == "take out" else value: new)
    return table


def fits(table):
    """Whether the library that turns tables into structs takes it."""
    try:
        msgspec.convert(table, Recipe)
    except msgspec.ValidationError:
        return False
    return True


def test_every_key_of_the_language_is_in_the_example():
    keys = {field.encode_name for kind in structs_in(FORM) for field in kind.fields}

    # what the maker names
    own = {"fence", "band", "form", "no-dry-fit", "part-too-small", "leg", "knob", *TABLE["size"], *TABLE["choice"]}

    assert keys == {step for path in places(TABLE) for step in path if isinstance(step, str)} - own
    assert list(form_errors(TABLE, FORM)) == []


def structs_in(form):
    """Every struct of the language."""
    if isinstance(form, msgspec.inspect.StructType):
        yield form
        for field in form.fields:
            yield from structs_in(field.type)
    inner = [getattr(form, name, None) for name in ("type", "item_type", "value_type")] + list(
        getattr(form, "types", ())
    )
    for one in inner:
        if one is not None:
            yield from structs_in(one)


@given(damaged())
@example({})
def test_it_finds_a_misfit_exactly_where_msgspec_refuses(table):
    # Reference: msgspec's own conversion to the structs of recipe/written.py.
    assert bool(list(form_errors(table, FORM))) == (not fits(table))


@given(damaged())
def test_each_misfit_names_a_place_and_a_next_step(table):
    known = set(places(table))
    for error in form_errors(table, FORM):
        assert error.path in known
        assert error.what.endswith(".")
        assert error.next_step.endswith((".", '"'))


def test_a_line_break_is_no_part_of_a_name():
    table = changed(TABLE, ("operation", 0, "id"), lambda _: "glue\n")

    assert [error.path for error in form_errors(table, FORM)] == [("operation", 0, "id")]


def test_thousands_of_rows_are_one_finding_not_thousands():
    table = TABLE | {"part": [{}] * 2000}
    found = [error.what for error in form_errors(table, FORM)]

    assert found[0] == "has 2,000 entries, more than 500."
    assert len(found) == 1 + 500 * 3
