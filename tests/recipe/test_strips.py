"""What is cut from a strip, and how much of it. Worked by hand: a saw cut takes 3.2 mm."""

import pytest
from benchbell.commands.cutting_list import cutting_list_lines
from small_recipes import TITLE, compiled, work


def part(id, count, size, more=""):
    lengths = ", ".join(f'"{one} mm"' for one in size)
    return f'\n[[part]]\nid = "{id}"\ncount = {count}\nstock = "white ash"\nsize = [{lengths}]\n{more}\n'


def sheet_of(*parts, pieces=1, head=""):
    ids = [text.split('"')[1] for text in parts]
    return compiled(TITLE + head + "".join(parts) + work("plane", ids), pieces)


def strips(*parts, **more):
    return {row.part: row.strip_mm for row in sheet_of(*parts, **more).cutting_list}


@pytest.mark.parametrize(
    ("count", "size", "strip"),
    [
        (4, (400, 20, 10), 1720),  # narrow: cut 25 over length, 4 × 428.2 = 1712.8
        (1, (400, 20, 10), 0),  # alone it is no strip
        (4, (400, 40, 10), 0),  # neither narrow nor short
        (4, (120, 60, 10), 600),  # short: 4 × 148.2 = 592.8
        (2, (120, 200, 10), 300),  # shorter than wide: 2 × 148.2 = 296.4
        (1, (120, 200, 10), 0),
    ],
)
def test_narrow_or_short_parts_are_cut_from_a_strip(count, size, strip):
    assert strips(part("lip", count, size))["lip"] == strip


def test_all_parts_of_one_width_and_thickness_share_a_strip_in_all_pieces():
    found = strips(part("long", 1, (700, 21, 10)), part("cross", 2, (400, 21, 10)), part("other", 2, (400, 21, 12)))
    both = strips(part("long", 1, (700, 21, 10)), part("cross", 2, (400, 21, 10)), pieces=2)

    # 728.2 + 2 × 428.2 = 1584.6; twice that = 3169.2; 2 × 428.2 = 856.4
    assert found == {"long": 1590, "cross": 1590, "other": 860}
    assert both == {"long": 3170, "cross": 3170}


def test_sheet_goods_are_cut_from_a_sheet():
    assert strips(part("lip", 4, (400, 20, 10), 'material = "sheet"'))["lip"] == 0


def test_what_comes_from_a_board_in_order_is_not_cut_from_a_strip():
    ends = part("end", 2, (120, 60, 10), 'board = "run"')

    assert strips(ends, part("lip", 2, (120, 60, 10))) == {"end": 0, "lip": 300}


def test_strips_stand_below_the_other_parts_of_their_board():
    sheet = sheet_of(part("lip", 2, (900, 20, 18)), part("rail", 2, (800, 60, 18)), part("strip", 2, (300, 20, 18)))
    lines = list(cutting_list_lines(sheet))

    assert lines[1:] == [
        "white ash, 4/4 (25.4 mm) as bought",
        "    2 × Rail   800 × 60 × 18 mm  rough 825 × 66 mm",
        "    together 2520 mm of 26 × 18 mm, with saw cuts:",
        "    2 × Lip    900 × 20 × 18 mm  rough 925 × 26 mm",
        "    2 × Strip  300 × 20 × 18 mm  rough 325 × 26 mm",
    ]


def test_a_strip_in_inches_is_rounded_up_to_whole_ones():
    lines = list(cutting_list_lines(sheet_of(part("lip", 4, (400, 20, 10)), head='units = "in"\n')))

    assert "    together 68 in of 1 1/16 × ≈25/64 in, with saw cuts:" in lines


def test_parts_that_differ_in_nothing_but_their_names_are_one_line():
    equal = sheet_of(part("left", 2, (800, 60, 18)), part("right", 2, (800, 60, 18)), part("other", 2, (800, 61, 18)))

    assert [line for line in cutting_list_lines(equal) if "×" in line][1:] == [
        "    2 × Other        800 × 61 × 18 mm  rough 825 × 67 mm",
        "    4 × Left, Right  800 × 60 × 18 mm  rough 825 × 66 mm",
    ]


def test_what_becomes_of_a_part_stands_beside_what_is_cut():
    board = part(
        "board", 3, (1000, 100, 30), 'lies = { way = "xyz", size = ["950 mm", "95 mm", "28 mm"], y = "row 0 mm" }'
    )
    lath = part(
        "lath",
        1,
        (500, 40, 15),
        'lies = { way = "xyz", size = ["20 mm", "40 mm", "15 mm"], count = 6, x = "row 5 mm" }',
    )
    same = part("same", 1, (500, 40, 15), 'lies = { way = "xyz" }')
    turned = part(
        "turned", 1, (90, 90, 5), 'lies = { way = "yxz", size = ["5 mm", "90 mm", "90 mm"], round = "90 mm" }'
    )
    sheet = sheet_of(board, lath, same, turned, pieces=2)
    rows = {row.part: row for row in sheet.cutting_list}
    text = "\n".join(cutting_list_lines(sheet))

    assert (rows["board"].trimmed_mm, rows["board"].trimmed_count) == ((950, 95, 28), 6)
    assert (rows["lath"].trimmed_mm, rows["lath"].trimmed_count) == ((20, 40, 15), 12)
    assert rows["same"].trimmed_mm == rows["turned"].trimmed_mm == ()
    assert "\n        in the end 950 × 95 × 28 mm\n" in text
    assert "\n        in the end 12 of 20 × 40 × 15 mm\n" in text
