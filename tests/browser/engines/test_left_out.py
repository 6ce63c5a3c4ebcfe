"""An engine that is not installed may be left out, but not where all of them are wanted."""

import pytest
from browser.engines.conftest import ENGINES, lacks, left_out


def test_what_is_not_installed_is_left_out():
    assert list(ENGINES) == left_out({"PATH": "/nowhere"})


@pytest.mark.parametrize("wish", ["CI", "BENCHBELL_ALL_ENGINES"])
def test_nothing_is_left_out_where_all_engines_are_wanted(wish):
    assert [] == left_out({"PATH": "/nowhere", wish: "1"})


@pytest.mark.parametrize("name", ENGINES)
def test_what_is_missing_is_said_with_the_line_that_brings_it(name):
    assert f"No {name} here. Install it: apt-get install {ENGINES[name].packages} (as root)" in lacks(name)
