import pytest
from benchbell.recipe.stock import Item, Material
from small_recipes import TITLE, compiled, work

# 1 board foot = 144 cubic inches; 1 in = 25.4 mm exactly: 0.002359737 m³.
BOARD_FOOT_M3 = 0.0254**3 * 144


def part(id, size, keys):
    named = ", ".join(f'"{text}"' for text in size)
    return f'\n[[part]]\nid = "{id}"\nsize = [{named}]\n{keys}\n'


def cut(*parts, allowance=0, pieces=1, head="", tail=""):
    """The cut summary of parts given as text."""
    text = TITLE + f"allowance = {allowance}\n{head}" + "".join(parts) + work("saw", ["a"]) + tail
    return compiled(text, pieces)


def test_solid_wood_is_summed_by_stock_in_board_feet_and_cubic_metres():
    ash = 'stock = "white ash"'
    sheet = cut(
        part("a", ["8 ft", "6 1/4 in", "1 3/4 in"], ash), part("b", ["1 ft", "1 ft", "3/4 in"], f"{ash}\ncount = 3")
    )
    [row] = sheet.materials

    # 1 3/4 in is planed from 8/4 stock: 2 in x 6 1/4 in x 8 ft is 8.33 board feet by plain volume. 3/4 in from 4/4: one
    # board foot for each of the others.
    assert row.amount == pytest.approx(8 + 1 / 3 + 3)
    assert (row.stock, row.unit, row.parts) == ("white ash", "board feet", 4)
    assert row.cubic_m == pytest.approx(row.amount * BOARD_FOOT_M3)


def test_the_allowance_is_on_top():
    bare, with_waste = (
        cut(part("a", ["1 m", "100 mm", "25 mm"], 'stock = "cherry"'), allowance=percent).materials[0]
        for percent in (0, 35)
    )

    assert with_waste.amount == pytest.approx(1.35 * bare.amount)
    # 25 mm is planed from 5/4 stock, 31.75 mm thick.
    assert with_waste.cubic_m == pytest.approx(0.003175 * 1.35)
    assert with_waste.allowance_percent == 35


def test_woods_are_told_apart_and_so_are_pieces_counted():
    sheet = cut(
        part("a", ["1 m", "100 mm", "25 mm"], 'stock = "cherry"'),
        part("b", ["1 m", "100 mm", "25 mm"], 'stock = "ash"'),
        part("c", ["1 m", "100 mm", "25 mm"], 'stock = "ash"\nonce = true'),
        pieces=4,
    )

    assert [(row.stock, row.parts) for row in sheet.materials] == [("ash", 5), ("cherry", 4)]


def test_sheets_are_summed_by_area_and_thickness():
    ply = 'stock = "birch plywood"\nmaterial = "sheet"'
    sheet = cut(
        part("a", ["600 mm", "400 mm", "12 mm"], f"{ply}\ncount = 2"),
        part("b", ["500 mm", "400 mm", "12 mm"], ply),
        part("c", ["500 mm", "400 mm", "6 mm"], ply),
    )

    assert [(row.stock, row.unit, row.amount) for row in sheet.materials] == [
        ("birch plywood, 12 mm", "m²", pytest.approx(0.68)),
        ("birch plywood, 6 mm", "m²", pytest.approx(0.2)),
    ]


@pytest.mark.parametrize(("edges", "mm"), [("one long", 600), ("two long", 1200), ("all", 2000)])
def test_lipped_edges_are_summed_by_length(edges, mm):
    ply = f'stock = "birch plywood"\nmaterial = "sheet"\nedges = "{edges}"'
    sheet = cut(part("a", ["600 mm", "400 mm", "18 mm"], f"{ply}\ncount = 2"), allowance=10)

    assert sheet.materials[-1] == Material("lipping", "other", pytest.approx(2 * mm * 1.1), "mm", 0, 0, 10)


def test_a_thin_part_counts_as_the_board_it_is_planed_from_unless_that_is_resawn():
    # Lumber under 1 in is tallied as 1 in thick (NHLA, from memory). 1/4 in twice and the loss of one cut, 5 mm (common
    # practice), is 17.7 mm, under the 13/16 in of surfaced 4/4: two from a board.
    [row] = cut(part("a", ["1 ft", "1 ft", "1/4 in"], 'stock = "cherry"')).materials

    assert row.amount == pytest.approx(1)
    assert row.resawn == pytest.approx(0.5)


def test_glass_has_no_allowance():
    pane = 'stock = "glass"\nmaterial = "other"\ncount = 2'
    [row] = cut(part("a", ["500 mm", "400 mm", "4 mm"], pane), allowance=30).materials

    assert row == Material("glass", "other", pytest.approx(0.4), "m²", 0, 2, 0)


def test_other_stock_is_summed_by_length():
    sheet = cut(part("a", ["7 ft"], 'stock = "brass rod"\nmaterial = "other"\ncount = 2'), allowance=30)

    assert sheet.materials == (Material("brass rod", "other", 14 * 304.8, "mm", 0, 2, 0),)


def test_hardware_is_counted_for_every_piece_unless_it_is_there_once():
    tail = """
[[hardware]]
name = "screw 4 × 30 mm"
count = 8

[[consumable]]
name = "oil"
count = 0.2
unit = "l"
once = true
"""
    sheet = cut(part("a", ["1 m", "100 mm", "25 mm"], 'stock = "ash"'), pieces=3, tail=tail)

    assert sheet.hardware == (Item("screw 4 × 30 mm", 24, ""), Item("oil", 0.2, "l"))


def test_veneer_is_bought_by_area_with_what_stands_out_over_the_ground():
    leaves = part("a", ["400 mm", "250 mm", "0.6 mm"], 'stock = "cherry"\nmaterial = "veneer"\ncount = 2')
    back = part("b", ["400 mm", "250 mm", "0.9 mm"], 'stock = "ash veneer"\nmaterial = "veneer"')
    ash, cherry = cut(leaves, back, allowance=25).materials

    # By hand: 420 × 270 mm is 0.1134 m²; a quarter more, and two of cherry.
    assert (ash.stock, ash.unit, ash.amount) == ("ash veneer, 0.9 mm", "m²", pytest.approx(0.14175))
    assert (cherry.stock, cherry.parts, cherry.amount) == ("cherry veneer, 0.6 mm", 2, pytest.approx(0.2835))
    assert cherry.cubic_m == cherry.resawn == 0


def test_each_piece_of_a_build_has_its_own_veneer():
    leaf = part("a", ["400 mm", "250 mm", "0.6 mm"], 'stock = "cherry"\nmaterial = "veneer"')

    assert cut(leaf, pieces=3).materials[0].amount == pytest.approx(3 * 0.1134)
