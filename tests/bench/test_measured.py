"""Operations that wait until what they measure is within its bounds: the vectors."""

import msgspec
import pytest
from benchbell.bench.measured import measure_again
from benchbell.recipe.sheet import Size
from briefs import state_told
from twins import answer_of, cases, expected

ASKS = {
    "state_told": state_told,
    "measure_again": lambda size, value, units: measure_again(msgspec.convert(size, Size), value, units),
}


@pytest.mark.parametrize("case", cases("measured"), ids=lambda case: case["rule"])
def test_vector(case):
    assert expected(case) == answer_of(ASKS[case["ask"]], *case["given"])
