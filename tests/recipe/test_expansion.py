"""Fragments: a recipe that uses one compiles to what the same text written out compiles to."""

import tomllib

import pytest
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.expansion import FragmentText
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

DRAWER = """title = "Drawer"

[choice.wide]
ask = "How wide?"
default = "400 mm"

[choice.knobs]
ask = "How many knobs?"
default = 1

[choice.waxed]
ask = "Waxed?"
default = true

[size]
width = { plan = "wide", measure = "The opening of the {as}.", within = "1 mm" }
front = "width - 2 mm"

[[part]]
id = "front"
title = "{as}: front"
stock = "white ash"
size = ["front", "100 mm", "19 mm"]
mates = [{ end = "end", to = "side" }]

[[part]]
id = "side"
count = 2
stock = "white ash"
size = ["400 mm", "100 mm", "19 mm"]

[[setup]]
id = "stop"
station = "mitre saw"
set = { stop = "400 mm" }
prove = "Cut a scrap."

[[setup]]
id = "front-stop"
station = "mitre saw"
set = { stop = "front" }
prove = "Cut a scrap."

[[operation]]
id = "measure"
do = "Measure it."
measure = ["width"]

[[operation]]
id = "cut-sides"
parts = ["side"]
setup = "stop"
do = "Cut the sides of the {as}."

[[operation]]
id = "cut-front"
parts = ["front"]
setup = "front-stop"
after = ["measure"]
do = "Cut it."
show = ["front"]
minutes = { each = "3 * knobs" }

[[operation]]
id = "wax"
parts = ["side-1", "side-2"]
do = "Wax."
when = "waxed"

[[operation]]
id = "join"
parts = ["front", "side"]
makes = "drawer"
do = "Join them."

[[hardware]]
name = "knob"
count = "knobs"
"""

HEAD = """title = "Chest"

[size]
opening = "500 mm"

[[part]]
id = "case"
stock = "white ash"
size = ["opening", "400 mm", "19 mm"]

[[operation]]
id = "make-case"
parts = ["case"]
do = "Make it."
"""
TAIL = """
[[operation]]
id = "fill"
parts = ["case", "upper-drawer", "lower-drawer"]
makes = "chest"
do = "Put them in."
"""


def use(name, more="", fragment="drawer"):
    """A use of a fragment; more: further keys."""
    return f'\n[[use]]\nfragment = "{fragment}"\nas = "{name}"\n{more}\n'


def compiled(text, pieces=1, chosen=(), **fragments):
    """Its sheet; fragments: texts by name."""
    library = {name.replace("_", "-"): FragmentText(f"{name}.toml", one) for name, one in fragments.items()}
    return compile_text(text, "chest.toml", pieces, chosen=dict(chosen), fragments=library)


def sound(text, pieces=1, **fragments):
    """The sheet of a recipe about which there is nothing to say."""
    sheet = compiled(text, pieces, **fragments)

    assert [str(finding) for finding in sheet.findings] == []
    return sheet


CHEST = HEAD + use("upper", 'set = { wide = "opening" }') + use("lower", 'set = { wide = "opening", knobs = 2 }') + TAIL


def test_ids_and_sizes_get_the_name_in_front():
    sheet = sound(CHEST, drawer=DRAWER)

    assert {"case", "upper-front", "upper-side-1", "upper-side-2"} <= {part.name for part in sheet.parts}
    assert {"upper-drawer", "lower-drawer", "chest"} == {one.name for one in sheet.assemblies}
    assert ("@upper_width", 2, "-") == next(size.formula for size in sheet.sizes if size.name == "upper_front")
    assert ["upper_width"] == [name for op in sheet.operations if op.name == "upper-measure" for name in op.measure]
    assert [("knob", 3)] == [(item.name, item.count) for item in sheet.hardware]


def test_its_texts_say_what_it_is_used_as():
    sheet = sound(CHEST.replace('as = "upper"', 'as = "upper"\ntitle = "top drawer"'), drawer=DRAWER)

    assert {"Top drawer: front", "Lower: front"} <= {part.title for part in sheet.parts}
    assert ("Cut the sides of the top drawer.",) == next(
        op.do for op in sheet.operations if op.name == "upper-cut-sides"
    )


def test_uses_that_follow_each_other_are_worked_together_and_a_fence_is_set_once():
    sheet = sound(CHEST, drawer=DRAWER)
    cut = [(op.name, op.setup, op.setup_minutes) for op in sheet.operations if "cut" in op.name]

    assert [("upper-cut-sides", "upper-stop", 5), ("lower-cut-sides", "upper-stop", 0)] == cut[:2]
    assert ["upper-stop", "upper-front-stop", "lower-front-stop"] == [setup.id for setup in sheet.setups]


def test_a_setup_to_something_measured_is_shared_only_when_it_is_the_same_thing_that_is_measured():
    # Both openings are drawn alike, but each drawer's front is cut to its own: two setups.
    of_case = DRAWER.replace('{ plan = "wide", measure = "The opening of the {as}.", within = "1 mm" }', '"wide"')
    of_case = of_case.replace('[[operation]]\nid = "measure"\ndo = "Measure it."\nmeasure = ["width"]\n', "")
    of_case = of_case.replace('after = ["measure"]\n', "")
    measured = HEAD.replace('"500 mm"', '{ plan = "500 mm", measure = "Inside." }')
    measured = measured.replace('do = "Make it."', 'do = "Make it."\nmeasure = ["opening"]')
    chest = CHEST.replace(HEAD, measured).replace('as = "upper"', 'as = "upper"\nafter = ["make-case"]')
    chest = chest.replace('as = "lower"', 'as = "lower"\nafter = ["make-case"]')

    assert ["upper-stop", "upper-front-stop"] == [setup.id for setup in sound(chest, drawer=of_case).setups]


def test_a_recipes_own_setups_are_never_put_together():
    twice = HEAD + "".join(
        f'\n[[setup]]\nid = "stop-{n}"\nstation = "mitre saw"\nset = {{ stop = "1 m" }}\nprove = "Cut."\n'
        f'\n[[operation]]\nid = "cut-{n}"\nparts = ["case"]\nsetup = "stop-{n}"\ndo = "Cut."\n'
        for n in (1, 2)
    )

    assert ["stop-1", "stop-2"] == [setup.id for setup in sound(twice).setups]


def test_its_first_operations_come_after_what_the_use_says():
    sheet = sound(CHEST.replace('as = "upper"', 'as = "upper"\nafter = ["make-case"]'), drawer=DRAWER)
    after = {op.name: op.after for op in sheet.operations}

    assert ("A/make-case",) == after["upper-measure"] == after["upper-cut-sides"]
    assert ("A/upper-measure",) == after["upper-cut-front"]
    assert () == after["lower-measure"]


def test_single_operations_come_after_what_the_use_says_of_them():
    sheet = sound(CHEST.replace('as = "upper"', 'as = "upper"\nafter = { wax = ["make-case"] }'), drawer=DRAWER)
    after = {op.name: op.after for op in sheet.operations}

    assert ("A/upper-cut-sides", "A/make-case") == after["upper-wax"]
    assert () == after["upper-measure"]


def test_a_fragment_that_is_not_used_brings_nothing_and_lists_forget_it():
    choice = '\n[choice.two]\nask = "Two drawers?"\ndefault = false\n\n[size]'
    chest = CHEST.replace("\n[size]", choice, 1).replace('as = "lower"', 'as = "lower"\nwhen = "two"')
    chest = chest.replace('id = "make-case"', 'id = "make-case"\nshow = ["opening"]')
    one, two = compiled(chest, drawer=DRAWER), compiled(chest, chosen={"two": "yes"}, drawer=DRAWER)

    assert ((), ()) == (one.findings, two.findings)
    assert not [part.name for part in one.parts if part.name.startswith("lower")]
    assert ("A/case", "A/upper-drawer") == one.operations[-1].parts
    assert replace(compiled(CHEST, drawer=DRAWER), choices=(), findings=()).parts == two.parts


def test_fragments_may_use_fragments():
    pair = (
        'title = "Pair"\n' + use("left", fragment="drawer") + use("right", "set = { waxed = false }", fragment="drawer")
    )
    pair += '\n[[part]]\nid = "box"\nstock = "white ash"\nsize = ["400 mm", "100 mm", "19 mm"]\n'
    pair += (
        '\n[[operation]]\nid = "box-it"\nparts = ["box", "left-drawer", "right-drawer"]\nmakes = "boxed"\ndo = "It."\n'
    )
    text = HEAD + use("top", fragment="pair") + TAIL.replace('"upper-drawer", "lower-drawer"', '"top-boxed"')
    sheet = sound(text, drawer=DRAWER, pair=pair)

    assert "top-left-front" in {part.name for part in sheet.parts}
    assert "top_left_width" in {size.name for size in sheet.sizes}
    assert "Pair" not in str(sheet.operations)
    assert "Left: front" in {part.title for part in sheet.parts}


def test_a_finding_stands_in_the_fragment_and_names_who_uses_it():
    (finding,) = compiled(CHEST, drawer=DRAWER.replace('setup = "stop"', 'setup = "stopp"')).findings[:1]
    line = DRAWER[: DRAWER.index('setup = "stop"')].count("\n") + 1

    assert ("drawer.toml", line) == (finding.file, finding.line)
    assert [("upper", "chest.toml", CHEST[: CHEST.index("[[use]]")].count("\n") + 1)] == [
        (one.name, one.file, one.line) for one in finding.used_by
    ]
    assert str(finding).startswith(f"chest.toml:{finding.used_by[0].line}: error: In upper: ")
    assert str(finding).endswith(f" (drawer.toml:{line})")


def test_a_fragment_reaches_no_size_of_the_recipe_that_uses_it():
    found = compiled(CHEST, drawer=DRAWER.replace('"width - 2 mm"', '"opening - 2 mm"')).findings

    assert "there is no size named upper_opening" in found[0].what


# What is written out by hand, without the expansion's help: names are put in front of whole words of a known list.

IDS = (
    "front",
    "side",
    "stop",
    "front-stop",
    "measure",
    "cut-sides",
    "cut-front",
    "wax",
    "join",
    "drawer",
    "side-1",
    "side-2",
)


def by_hand(uses):
    """The chest with its fragments written out. uses: name, what is wide, knobs, waxed; operations interleaved."""
    fragment = tomllib.loads(DRAWER)
    lines = [HEAD.replace("[size]", "[size]\n" + "".join(sizes_by_hand(*one) for one in uses), 1)]
    lines += [part_by_hand(name, part) for name, *_ in uses for part in fragment["part"]]
    first = uses[0][0]
    for name, *_ in uses:
        for setup in fragment["setup"]:
            if setup["id"] == "stop" and name != first:
                continue  # the same stop: set once
            value = f"{name}_front" if setup["set"]["stop"] == "front" else setup["set"]["stop"]
            lines.append(
                f'\n[[setup]]\nid = "{name}-{setup["id"]}"\nstation = "{setup["station"]}"\n'
                f'set = {{ stop = "{value}" }}\nprove = "{setup["prove"]}"\n'
            )
    for operation in fragment["operation"]:
        for name, _, knobs, waxed in uses:
            if operation["id"] != "wax" or waxed:
                lines.append(operation_by_hand(name, operation, knobs, first))
    lines.append(f'\n[[hardware]]\nname = "knob"\ncount = {sum(knobs for _, _, knobs, _ in uses)}\n')
    drawers = ", ".join(f'"{name}-drawer"' for name, *_ in uses)
    lines.append(TAIL.replace('"upper-drawer", "lower-drawer"', drawers))
    return "".join(lines)


def sizes_by_hand(name, wide, knobs, waxed):
    return (
        f'{name}_wide = "{wide}"\n'
        f'{name}_width = {{ plan = "{name}_wide", measure = "The opening of the {name}.", within = "1 mm" }}\n'
        f'{name}_front = "{name}_width - 2 mm"\n'
    )


def part_by_hand(name, part):
    size = [f"{name}_front" if text == "front" else text for text in part["size"]]
    title = f'title = "{name.capitalize()}: front"\n' if "title" in part else ""
    mates = f'mates = [{{ end = "end", to = "{name}-side" }}]\n' if "mates" in part else ""
    return (
        f'\n[[part]]\nid = "{name}-{part["id"]}"\ncount = {part.get("count", 1)}\nstock = "white ash"\n'
        f"size = {size}\n{title}{mates}".replace("'", '"')
    )


def operation_by_hand(name, operation, knobs, first):
    def named(key):
        return [f"{first if id == 'stop' else name}-{id}" for id in operation.get(key, [])]

    keys = {"parts": named("parts"), "after": named("after")}
    keys |= {key: [f"{name}_{size}" for size in operation.get(key, [])] for key in ("measure", "show")}
    text = "".join(f"{key} = {value}\n" for key, value in keys.items() if value).replace("'", '"')
    if "setup" in operation:
        owner = first if operation["setup"] == "stop" else name
        text += f'setup = "{owner}-{operation["setup"]}"\n'
    text += f'makes = "{name}-{operation["makes"]}"\n' if "makes" in operation else ""
    text += f"minutes = {{ each = {3 * knobs} }}\n" if "minutes" in operation else ""
    return f'\n[[operation]]\nid = "{name}-{operation["id"]}"\ndo = "{operation["do"].format(**{"as": name})}"\n{text}'


def without_places(sheet):
    """A sheet without lines, and its sizes without their order, which is the file's."""
    return replace(
        sheet,
        findings=(),
        sizes=tuple(sorted((replace(size, line=0) for size in sheet.sizes), key=lambda size: size.name)),
        operations=tuple(replace(op, line=0) for op in sheet.operations),
    )


names = st.lists(st.from_regex(r"[a-z]{1,6}", fullmatch=True), min_size=1, max_size=4, unique=True)


@settings(max_examples=60, deadline=None)
@given(names.filter(lambda found: not {"case", "opening"} & set(found)), st.data())
def test_a_fragment_compiles_to_what_the_same_text_written_out_compiles_to(found, data):
    wide, knobs = st.sampled_from(["opening", "opening - 20 mm", "45 cm"]), st.integers(1, 3)
    uses = [(name, data.draw(wide), data.draw(knobs), data.draw(st.booleans())) for name in found]
    pieces = data.draw(st.integers(1, 3))
    text = HEAD + "".join(
        use(name, f'set = {{ wide = "{wide}", knobs = {knobs}, waxed = {str(waxed).lower()} }}')
        for name, wide, knobs, waxed in uses
    )
    text += TAIL.replace('"upper-drawer", "lower-drawer"', ", ".join(f'"{name}-drawer"' for name in found))
    sheet, written = compiled(text, pieces, drawer=DRAWER), compiled(by_hand(uses), pieces)

    assert [] == [str(finding) for finding in (*sheet.findings, *written.findings)]
    assert without_places(written) == without_places(sheet)


@settings(max_examples=60, deadline=None)
@given(
    st.integers(25, 60),
    st.integers(1, 6),
    st.booleans(),
    st.sampled_from(["white ash", "white oak"]),
    st.integers(1, 3),
)
def test_a_choice_compiles_to_what_its_answer_written_down_compiles_to(wide, knobs, waxed, wood, pieces):
    choices = tomllib.loads(DRAWER)["choice"]
    text = DRAWER.replace('stock = "white ash"', 'stock = "{wood}"').replace("[size]", WOOD + "[size]")
    chosen = {"wide": f"{wide} cm", "knobs": str(knobs), "waxed": "yes" if waxed else "no", "wood": wood}
    written = (
        DRAWER[DRAWER.index("[size]") :].replace("[size]", f'[size]\nwide = "{wide} cm"').replace("{as}", "drawer")
    )
    written = written.replace('"3 * knobs"', str(3 * knobs)).replace('"knobs"', str(knobs))
    written = written.replace('"drawer: front"', '"Drawer: front"').replace("white ash", wood)
    written = written.replace('when = "waxed"\n', "") if waxed else without_wax(written)
    sheet, plain = compiled(text, pieces, chosen), compiled('title = "Drawer"\n' + written, pieces)

    assert {*choices, "wood"} == {one.name for one in sheet.choices}
    assert [] == [str(finding) for finding in (*sheet.findings, *plain.findings)]
    assert without_places(plain) == without_places(replace(sheet, choices=()))


WOOD = '[choice.wood]\nask = "Which wood?"\ndefault = "white ash"\n\n'


def without_wax(text):
    """The text without the operation that waxes."""
    start = text.index('[[operation]]\nid = "wax"')
    return text[:start] + text[text.index("[[operation]]", start + 5) :]


@pytest.mark.parametrize("times", [50])
def test_many_uses_are_refused_before_they_cost_time(times):
    bomb = {f"level-{n}": use("a", fragment=f"level-{n + 1}") + use("b", fragment=f"level-{n + 1}") for n in range(8)}
    body = '\n[[part]]\nid = "p"\nstock = "white ash"\nsize = ["1 m", "1 m", "1 m"]\n'
    body += '\n[[operation]]\nid = "o"\nparts = ["p"]\ndo = "It."\n'
    texts = {name: FragmentText(f"{name}.toml", f'title = "Level"\n{uses}{body}') for name, uses in bomb.items()}
    texts["level-8"] = FragmentText("level-8.toml", f'title = "Level"\n{body}')
    uses = "".join(use(f"u{n}", fragment="level-0") for n in range(times))
    sheet = compile_text(f'title = "Bomb"\n{uses}{body}', "bomb.toml", fragments=texts)

    assert any("more than 200 uses" in finding.what for finding in sheet.findings)
    assert len(sheet.findings) < 500
