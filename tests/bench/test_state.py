"""What a build's happenings mean: the vectors, and that order and repetition do not matter."""

import pytest
from briefs import shop_told, state_told
from twins import answer_of, cases, expected

ASKS = {"state_told": state_told, "shop_told": shop_told}


@pytest.mark.parametrize("case", cases("state"), ids=lambda case: case["rule"])
def test_vector(case):
    assert expected(case) == answer_of(ASKS[case["ask"]], *case["given"])
