"""Glue-ups from which nothing is taken off, and what their clock says: the vectors."""

import pytest
from benchbell.bench.clock_kinds import CLOCK_KINDS, ring_text
from benchbell.bench.unclamped import is_unclamped
from msgspec.structs import replace
from small_recipes import FIT, PARTS, glue, operations
from twins import answer_of, cases, expected

GLUE = operations(PARTS + FIT + glue())["glue"]

ASKS = {
    "is_unclamped": lambda op: is_unclamped(replace(GLUE, **op)),
    "ring_told": lambda kind, stage, op: ring_text(kind, stage, is_unclamped(replace(GLUE, **op))).title,
}


@pytest.mark.parametrize("case", cases("unclamped"), ids=lambda case: case["rule"])
def test_vector(case):
    assert expected(case) == answer_of(ASKS[case["ask"]], *case["given"])


def test_its_ring_says_nothing_of_clamps():
    said = ring_text("in-clamps", "off", unclamped=True)

    assert "clamp" not in f"{said.title} {said.text}".lower()


def test_only_the_time_in_clamps_has_other_words():
    assert [kind for kind, row in CLOCK_KINDS.items() if row.unclamped] == ["in-clamps"]
