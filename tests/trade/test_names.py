"""Names by kind: each stands for one thing, and every other name finds it."""

import pytest
from benchbell.trade.names import TABLES, choices, names_of
from benchbell.trade.species import species_named
from benchbell.trade.stations import station_named


@pytest.mark.parametrize("kind", TABLES)
def test_no_name_stands_for_two_things(kind):
    names = [name.casefold() for name in choices(kind)]

    assert sorted(names) == sorted(set(names))
    assert [thing.name for thing in names_of(kind)] == list(TABLES[kind]())


@pytest.mark.parametrize(
    ("other", "usual"),
    [
        ("thicknesser", "planer"),
        ("Thicknesser", "planer"),
        ("chop saw", "mitre saw"),
        ("spindle moulder", "shaper"),
        (" Table Saw ", "table saw"),
    ],
)
def test_another_name_finds_the_station(other, usual):
    assert station_named(other).id == usual


@pytest.mark.parametrize(
    ("other", "usual"),
    [("white oak, overcup", "overcup oak"), ("Oak, red, black", "black oak"), ("soft maple, silver", "silver maple")],
)
def test_another_name_finds_the_wood(other, usual):
    assert species_named(other).id == usual
