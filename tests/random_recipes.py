"""Random recipes that are sound: parts, glue-ups, coats and setups in an order that can be worked."""

from hypothesis import strategies as st

STATIONS = ("bench", "table saw", "planer", "sanding", "router table")
GLUES = ("pva-interior", "polyurethane", "epoxy-slow")
FINISHES = ("hardwax-oil", "shellac", "waterborne")


def part(number, count, once):
    """A part that is large enough for every station."""
    return f"""
[[part]]
id = "part{number}"
count = {count}
once = {str(once).lower()}
stock = "white ash"
size = ["{400 + number} mm", "80 mm", "25 mm"]
"""


def operation(number, parts, keys):
    """An operation on some parts, with further keys as written."""
    named = ", ".join(f'"{name}"' for name in parts)
    return f"""
[[operation]]
id = "op{number}"
parts = [{named}]
do = "Do it."
{keys}
"""


@st.composite
def tables_of_coats(draw):
    """Coats of one finish, on one face or two, sanded between or not."""
    coats, finish = draw(st.integers(1, 3)), draw(st.sampled_from(FINISHES))
    more = draw(st.sampled_from(("", ', sand = "P320", sand_minutes = 5', ', faces = ["back", "front"]')))
    return f'{{ with = "{finish}", coats = {coats}{more} }}'


@st.composite
def kinds_of_work(draw, number, several):
    """The keys that make an operation what it is, and whether its parts become an assembly."""
    kind = draw(st.sampled_from(("work", "work", "glue", "coat", "wait", "join")))
    if kind == "glue":
        makes = draw(st.booleans()) and several
        glue = f'glue = {{ with = "{draw(st.sampled_from(GLUES))}", spread = "3 min" }}'
        return glue + (f'\nmakes = "made{number}"' if makes else ""), makes
    if kind == "coat":
        return f"coat = [{', '.join(draw(st.lists(tables_of_coats(), min_size=1, max_size=2)))}]", False
    if kind == "wait":
        return 'wait = "2 h"', False
    if kind == "join" and several:
        return f'makes = "made{number}"', True
    return f'station = "{draw(st.sampled_from(STATIONS))}"\nminutes = {{ setup = 4, each = 2 }}', False


@st.composite
def recipes(draw):
    """The text of a recipe."""
    counts = draw(st.lists(st.integers(1, 3), min_size=1, max_size=4))
    jig = draw(st.booleans())
    text = 'title = "Random"\n' + "".join(part(n, count, False) for n, count in enumerate(counts))
    text += part(9, 1, True) if jig else ""
    free = [f"part{n}" for n in range(len(counts))]
    for number in range(draw(st.integers(1, 8))):
        once = draw(st.integers(0, 4)) == 0
        parts = draw(st.lists(st.sampled_from(free), min_size=1, max_size=3, unique=True))
        keys, makes = draw(kinds_of_work(number, len(parts) > 1 and not once))
        after = draw(st.lists(st.integers(0, number - 1), max_size=2)) if number else []
        keys += f"\nonce = {str(once).lower()}\nafter = {[f'op{n}' for n in after]}".replace("'", '"')
        text += operation(number, [*parts, *(["part9"] if jig and not makes else [])], keys)
        free = [name for name in free if not makes or name not in parts] + ([f"made{number}"] if makes else [])
    return text
