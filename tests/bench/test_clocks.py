"""Which clocks run, are due and ring: the vectors."""

import pytest
from briefs import as_json, clock_told, holds_told, rings_told, stages_told
from twins import answer_of, cases, expected

ASKS = {"clock_told": clock_told, "rings_told": rings_told, "stages_told": stages_told, "holds_told": holds_told}


@pytest.mark.parametrize("case", cases("clocks"), ids=lambda case: case["rule"])
def test_vector(case):
    assert expected(case) == as_json(answer_of(ASKS[case["ask"]], *case["given"]))
