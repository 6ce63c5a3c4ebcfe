"""The table of clock kinds: every kind has a row, and every row can be rung, said and ended."""

from typing import get_args

import pytest
from benchbell.bench.clock_kinds import CLOCK_KINDS, TOO_COLD, again_stage, ring_text
from benchbell.recipe.sheet import ClockKind
from benchbell.recipe.times import GLUE_CLOCKS, STRESSED, Row
from benchbell.trade.cautions import cautions
from twins import ask_the_page

KINDS = get_args(ClockKind)


def stages(kind):
    """All stages of a kind."""
    row = CLOCK_KINDS[kind]
    named = [ring.stage for ring in row.rings]
    return named + [TOO_COLD] * (row.too_cold is not None) + [again_stage(1), again_stage(12)] * (row.again is not None)


def can_be_too_cold(clock: Row) -> bool:
    """Whether a clock of a glue is a wait whose figure depends on the air."""
    return clock.kind not in ("open", "pot")


def test_every_kind_has_a_row_and_no_row_lacks_its_kind():
    assert set(KINDS) == set(CLOCK_KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_every_ring_says_what_to_do_in_a_few_words(kind):
    for stage in stages(kind):
        said = ring_text(kind, stage)

        assert 0 < len(said.title) <= 40
        assert said.text.endswith((".", "!")) and len(said.text) <= 170


@pytest.mark.parametrize("kind", KINDS)
def test_the_page_says_every_ring_in_the_same_words(kind):
    for stage in stages(kind):
        here, there = ring_text(kind, stage), ask_the_page("ring_text", kind, stage)["answer"]

        assert (here.title, here.text) == (there["title"], there["text"])


def test_a_ring_that_a_kind_has_not_is_refused():
    with pytest.raises(LookupError, match="rest has no ring 'over'"):
        ring_text("rest", "over")


def test_the_waits_that_depend_on_the_air_and_no_others_can_be_too_cold():
    waits = {clock.kind for clock in (*GLUE_CLOCKS, STRESSED) if can_be_too_cold(clock)}

    assert waits == {kind for kind, row in CLOCK_KINDS.items() if row.too_cold}


def test_a_stage_has_one_name_in_its_kind():
    assert [kind for kind in KINDS if len(set(stages(kind))) < len(stages(kind))] == []


def test_every_caution_is_one_of_the_trades():
    assert {id for row in CLOCK_KINDS.values() for id in row.cautions} <= set(cautions())


def test_no_ring_says_that_anything_is_safe():
    said = [ring_text(kind, stage) for kind in KINDS for stage in stages(kind)]

    assert [one for one in said if " safe" in f"{one.title} {one.text}".lower()] == []
