"""What a planer is set to. The least thickness is common practice, no source: trade/tables/stations.toml."""

import pytest
from small_recipes import RAIL, TITLE, rules, work


def planed(setting, needs="", station="planer"):
    setup = (
        f'\n[[setup]]\nid = "strips"\nstation = "{station}"\nset = {{ {setting} }}\nprove = "Do."\nneeds = [{needs}]\n'
    )
    return rules(TITLE + RAIL + setup + work("plane", ["rail"], 'setup = "strips"'))


@pytest.mark.parametrize(
    ("setting", "expected"),
    [
        ('"bed" = "6 mm"', []),
        ('"bed" = "5.9 mm"', ["part-too-small"]),
        ('"finished thickness" = "1/8 in"', ["part-too-small"]),
        ('"depth of cut" = "1 mm"', []),
        ('"bed" = "25 mm", "bed of the second pass" = "4 mm"', ["part-too-small"]),
    ],
)
def test_nothing_is_planed_too_thin(setting, expected):
    assert planed(setting) == expected


def test_a_carrier_goes_under_it():
    assert planed('"bed" = "3 mm"', needs='"carrier board with a cleat"') == []


def test_another_machine_planes_to_no_bed():
    assert planed('"bed" = "3 mm"', station="drill press") == []
