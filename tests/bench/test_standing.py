"""What stations stand in: the vectors."""

import pytest
from briefs import stands_told
from twins import answer_of, cases, expected


@pytest.mark.parametrize("case", cases("standing"), ids=lambda case: case["rule"])
def test_vector(case):
    assert expected(case) == answer_of(stands_told, *case["given"])
