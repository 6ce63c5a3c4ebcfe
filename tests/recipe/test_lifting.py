"""Worked by hand: white oak has a specific gravity of 0.68 at 12 %, so 0.68 × 1.12 × 1000 = 761.6 kg/m³."""

import pytest
from benchbell.trade.lifting import HEAVY_KG, sheet_kg, stock_kg_per_m3
from small_recipes import TITLE, operations, work


def part(size, stock="white oak", more=""):
    lengths = ", ".join(f'"{one}"' for one in size)
    return f'\n[[part]]\nid = "board"\nstock = "{stock}"\nsize = [{lengths}]\n{more}\n'


def cautions(text, name="carry", **shop):
    return operations(TITLE + text, **shop)[name].cautions


@pytest.mark.parametrize(
    ("length", "heavy"),
    [("2000 mm", True), ("1900 mm", True), ("1880 mm", False), ("500 mm", False)],
)
def test_a_board_is_heavy_from_its_weight_on(length, heavy):
    # 0.4 m × 0.04 m × 761.6 kg/m³ = 12.19 kg a metre: 23 kg are 1.887 m.
    found = cautions(part([length, "400 mm", "40 mm"]) + work("carry", ["board"]))

    assert ("lifting" in found) is heavy


def test_many_light_parts_are_carried_one_by_one_and_lifted_together_when_joined():
    one = part(["1000 mm", "400 mm", "40 mm"], more="count = 2")  # 12.2 kg each
    glued = 'makes = "top"\nglue = { with = "pva-interior", spread = "3 min" }'
    found = operations(TITLE + one + work("carry", ["board"]) + work("join", ["board"], glued) + work("turn", ["top"]))

    assert "lifting" not in found["carry"].cautions
    assert "lifting" in found["join"].cautions
    assert "lifting" in found["turn"].cautions


def test_a_whole_sheet_comes_to_the_saw_where_most_of_one_is_needed():
    saw = work("saw", ["board"], 'station = "table saw"') + work("rip", ["board"], 'station = "table saw"')

    def sheet(count, thick):
        size = ["700 mm", "600 mm", thick]
        return part(size, "birch plywood", f'material = "sheet"\ncount = {count}')

    found = operations(TITLE + sheet(4, "18 mm") + saw)  # 1.68 of 2.98 m²
    assert "lifting" in found["saw"].cautions
    assert "lifting" not in found["rip"].cautions
    assert "lifting" not in cautions(sheet(4, "9 mm") + saw, "saw")
    assert "lifting" not in cautions(sheet(3, "18 mm") + saw, "saw")


def test_what_the_recipe_says_is_said_once():
    heavy = part(["2000 mm", "400 mm", "40 mm"]) + work("carry", ["board"], 'caution = ["lifting"]')

    assert cautions(heavy).count("lifting") == 1


def test_what_stock_weighs():
    # Specific gravity × 1.12 × 1000; the sheet 2.9768 m² × 0.018 m × 750 kg/m³.
    assert stock_kg_per_m3("white oak", "solid") == pytest.approx(761.6)
    assert stock_kg_per_m3("some wood", "solid") == 750
    assert stock_kg_per_m3("float glass", "other") == 2500
    assert sheet_kg(18) == pytest.approx(40.19, abs=0.01)
    assert HEAVY_KG == 23
