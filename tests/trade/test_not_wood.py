"""What a shop fits that is not wood."""

import pytest
from benchbell.trade.not_wood import is_woody, material_of, not_wood
from benchbell.trade.stations import stations


@pytest.mark.parametrize(
    ("stock", "material"),
    [
        ("float glass 4 mm", "glass"),
        ("Mirrors", "glass"),
        ("brass rod", "metal"),
        ("mild steel", "metal"),
        ("slate", "stone"),
        ("tiles", "stone"),
        ("ironwood", None),
        ("acrylic", None),
    ],
)
def test_a_stocks_name_names_its_material(stock, material):
    found = material_of(stock)

    assert (found.id if found else None) == material


@pytest.mark.parametrize(
    ("stock", "woody"),
    [("beech dowel", True), ("hardboard", True), ("plywood", True), ("cane", False), ("felt", False)],
)
def test_some_stock_is_cut_by_the_tools_for_wood(stock, woody):
    assert is_woody(stock) == woody


def test_every_station_that_takes_it_is_one_and_what_to_do_instead_is_a_sentence():
    for material in not_wood().values():
        assert set(material.fine_at) <= stations().keys()
        assert material.instead.endswith(".")
