"""Which operations hold their fixtures: the vectors."""

import msgspec
import pytest
from benchbell.bench.fixtures import fixture_key, how_many
from benchbell.recipe.sheet import Fixture
from briefs import held_told
from twins import answer_of, cases, expected


def fixture(row):
    return msgspec.convert(row, Fixture)


ASKS = {
    "held_told": held_told,
    "fixture_key": lambda build, one: fixture_key(build, fixture(one)),
    "how_many": lambda one, owned, most: how_many(fixture(one), owned, most),
}


@pytest.mark.parametrize("case", cases("fixtures"), ids=lambda case: case["rule"])
def test_vector(case):
    assert expected(case) == answer_of(ASKS[case["ask"]], *case["given"])
