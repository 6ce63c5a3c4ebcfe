"""Veneer on its ground: how it is pressed, when it is dry, and on which faces it lies. Bad recipes are in bad/."""

import pytest
from small_recipes import TITLE, compiled, operations, rules, work


def part(id, size, material, count=1, stock="white oak", more=""):
    sizes = ", ".join(f'"{one} mm"' for one in size)
    head = f'\n[[part]]\nid = "{id}"\ncount = {count}\nstock = "{stock}"\nmaterial = "{material}"\n'
    return f"{head}size = [{sizes}]\n{more}\n"


def lay(parts=("core", "leaf"), makes="lid", press='press = "vacuum"', glue='with = "pva-interior"', id="press"):
    return work(id, parts, f'makes = "{makes}"\n{press}\nglue = {{ {glue}, spread = "4 min" }}')


CORE = part("core", (600, 300, 12), "sheet", stock="birch plywood")
LEAVES = part("leaf", (600, 300, 0.6), "veneer", 2)


@pytest.mark.parametrize(
    ("units", "press", "needs"),
    # By hand: 600 × 300 mm is 1800 cm², 279 in²; times 0.1 N/mm² 18.0 kN, 4047 lbf; times 0.085 15.3 kN, 3440 lbf:
    # to two figures, what is needed up, what is given down.
    # Pairs of bearers no more than 200 mm apart on 600 mm: three.
    [
        ("mm", 'press = "vacuum"', "vacuum bag, which gives about 0.085 MPa: 15 kN on 1800 cm²"),
        ("in", 'press = "vacuum"', "vacuum bag, which gives about 12 psi: 3,400 lbf on 279 in²"),
        ("mm", 'press = "screw press"', "screw press, for 18 kN or more on 1800 cm²"),
        ("in", 'press = "cauls"', "2 stiff cauls and 3 pairs of bearers, for 4,100 lbf or more on 279 in²"),
    ],
)
def test_what_has_to_be_at_hand_to_press_it(units, press, needs):
    text = f'{TITLE}units = "{units}"\n' + CORE + LEAVES + lay(press=press)

    assert operations(text)["press"].needs == (needs,)
    assert rules(text) == []


def test_a_press_or_a_bag_is_where_it_is_pressed():
    assert operations(TITLE + CORE + LEAVES + lay())["press"].station == "press"
    assert operations(TITLE + CORE + LEAVES + lay(press='press = "cauls"'))["press"].station == "assembly table"


@pytest.mark.parametrize("press", ["vacuum", "screw press"])
def test_the_shops_press_is_held_without_a_word_and_nobody_pares_in_it(press):
    sheet = compiled(TITLE + CORE + LEAVES + lay(press=f'press = "{press}"'), 2)
    name = "vacuum press" if press == "vacuum" else press

    assert [(one.id, one.owned, one.of) for one in sheet.fixtures] == [(name, name, ())]
    assert all(op.fixtures == {name: 1} for op in sheet.operations)
    assert not any(clock.kind == "squeeze-out" for op in sheet.operations for clock in op.clocks)


def test_cauls_are_nobodys_fixture_and_a_named_one_stands_in_place_of_the_press():
    owned = '\n[[fixture]]\nid = "bag"\nowned = "long bag"\n'

    assert operations(TITLE + CORE + LEAVES + lay(press='press = "cauls"'))["press"].fixtures == {}
    named = lay(press='press = "vacuum"\nfixtures = { bag = 1 }')
    assert operations(TITLE + CORE + LEAVES + owned + named)["press"].fixtures == {"bag": 1}


def test_only_the_edge_of_a_veneered_panel_goes_over_a_jointer():
    panel = CORE + LEAVES + lay(glue='with = "pva-interior", rest = "24 h"')
    even = panel + work("even", ["lid"], 'station = "jointer"')

    assert rules(TITLE + even) == ["planed-through"]
    assert rules(TITLE + even + '\ncheck = ["One edge, with a light cut."]\n') == []


@pytest.mark.parametrize(("count", "said"), [(6, ["veneer-pressure"]), (7, [])])
def test_clamps_that_give_the_force_are_enough(count, said):
    # By hand: 18 kN at 2.7 kN each is 6.7 clamps.
    glue = f'with = "pva-interior", clamps = {{ "light F" = {count} }}'

    assert rules(TITLE + CORE + LEAVES + lay(press="", glue=glue)) == said


def test_a_joint_as_written_is_the_face_that_is_pressed():
    joint = ', joints = [{ area = "200 mm * 100 mm", count = 2 }]'

    assert operations(TITLE + CORE + LEAVES + lay(glue=f'with = "pva-interior"{joint}'))["press"].needs == (
        "vacuum bag, which gives about 0.085 MPa: 1.7 kN on 200 cm²",
    )


@pytest.mark.parametrize(("glue", "said"), [("hide-hot", []), ("contact", []), ("hide-liquid", ["veneer-pressure"])])
def test_what_is_rubbed_down_needs_no_press(glue, said):
    text = TITLE + CORE + LEAVES + lay(press="", glue=f'with = "{glue}"').replace("4 min", "30 s")

    assert rules(text, celsius=24) == said


def test_a_leaf_on_each_face_may_come_in_two_pressings():
    leaves = part("face", (600, 150, 0.6), "veneer", 2) + part("back", (600, 300, 0.6), "veneer")
    twice = lay(("core", "face"), "half") + lay(("half", "back"), "lid", id="press-back")

    assert rules(TITLE + CORE + leaves + twice) == []
    assert rules(TITLE + CORE + leaves + lay(("core", "face"), "half") + work("cut", ["half", "back"])) == ["one-face"]


def test_stringing_and_edges_want_no_leaf_behind():
    line = part("line", (600, 30, 0.6), "veneer", 2)

    assert rules(TITLE + CORE + line + lay(("core", "line"))) == []


def test_leaves_taped_together_first_are_veneer_all_the_same():
    tape = work("tape", ["leaf"], 'makes = "sheets"')
    text = TITLE + CORE + part("leaf", (600, 150, 0.6), "veneer", 4) + tape + lay(("core", "sheets"))

    assert operations(text)["press"].needs == ("vacuum bag, which gives about 0.085 MPa: 15 kN on 1800 cm²",)
    assert rules(text) == []


@pytest.mark.parametrize(
    ("station", "glue", "holds"),
    [
        ("hand tools", "pva-interior", ["rest"]),
        ("sanding", "urea-formaldehyde", ["rest"]),
        ("bench", "pva-interior", []),
        ("hand tools", "epoxy-slow", []),
    ],
)
def test_no_tool_levels_veneer_before_the_water_is_out_of_it(station, glue, holds):
    text = TITLE + CORE + LEAVES + lay(glue=f'with = "{glue}"') + work("level", ["lid"], f'station = "{station}"')

    assert [hold.clock for hold in operations(text)["level"].holds] == holds


def test_no_finish_seals_veneer_before_the_water_is_out_of_it():
    coat = work("oil", ["lid"], 'coat = { with = "shellac" }')

    assert [hold.clock for hold in operations(TITLE + CORE + LEAVES + lay() + coat)["oil"].holds] == ["rest"]


OAK = part("core", (600, 300, 20), "solid")
FLAT = 'lies = { way = "xyz" }'


@pytest.mark.parametrize(
    ("ground", "leaf", "said"),
    [
        (OAK, LEAVES, []),
        (OAK, part("leaf", (300, 600, 0.6), "veneer", 2), ["veneer-across"]),
        (part("core", (600, 70, 20), "solid"), part("leaf", (70, 600, 0.6), "veneer", 2), []),
        (CORE, part("leaf", (300, 600, 0.6), "veneer", 2), []),
        (
            part("core", (300, 300, 20), "solid", more=FLAT),
            part(
                "leaf", (300, 300, 0.6), "veneer", 2, more='lies = { way = "yxz", z = ["from 20 mm", "from -0.6 mm"] }'
            ),
            ["does-not-stand", "veneer-across"],
        ),
    ],
)
def test_veneer_lies_along_the_grain_of_wide_solid_wood(ground, leaf, said):
    assert sorted(rules(TITLE + ground + leaf + lay())) == said


def test_a_pressing_wants_no_dry_fit_and_no_clamps_as_for_boards():
    edge = ', joints = [{ area = "600 mm * 300 mm", length = "600 mm" }], clamps = { "light F" = 7 }'

    assert rules(TITLE + CORE + LEAVES + lay(press="", glue=f'with = "pva-interior"{edge}')) == []


def test_each_finding_names_its_operation():
    [finding] = compiled(TITLE + CORE + part("leaf", (600, 300, 0.6), "veneer") + lay()).findings

    assert "Operation press lays veneer on one face of core only" in finding.what
