"""A sheet's sizes as built: the vectors."""

import pytest
from briefs import part_told, setup_told, size_told
from twins import answer_of, cases, expected

ASKS = {"size_told": size_told, "part_told": part_told, "setup_told": setup_told}


@pytest.mark.parametrize("case", cases("sizes"), ids=lambda case: case["rule"])
def test_vector(case):
    assert expected(case) == answer_of(ASKS[case["ask"]], *case["given"])
