"""What holds a small part at its machine. Common practice, no source."""

import pytest
from benchbell.recipe.small_parts import is_held


@pytest.mark.parametrize(
    ("text", "station", "held"),
    [
        ("crosscut sled", "table saw", True),
        ("cross-cut sled", "jointer", False),
        ("dovetail jig", "router", True),
        ("router table sled", "table saw", False),
        ("planer sled", "planer", True),
        ("thicknesser sled", "planer", True),
        ("thicknesser sled", "jointer", False),
        ("the form as a cradle", "drill press", True),
        ("rip blade", "table saw", False),
    ],
)
def test_a_sled_holds_a_part_at_the_machine_it_is_named_for(text, station, held):
    assert is_held([text], station) == held
