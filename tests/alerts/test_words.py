"""Words for every ring there is."""

from typing import get_args

import pytest
from alerts.sample import SHEET
from benchbell.alerts.words import plain, table, title_of, words_for
from benchbell.bench.clocks import RINGS
from benchbell.recipe.sheet import ClockKind
from benchbell.trade.cautions import cautions
from msgspec.structs import replace

CAN_BE_TOO_COLD = ("in-clamps", "rest")
"""Waits whose figure hangs on the air: the only ones that can be too cold for their glue."""


@pytest.mark.parametrize("kind", get_args(ClockKind))
def test_every_ring_says_what_to_do_in_a_few_words(kind):
    stages = [stage for stage, _, _ in RINGS[kind]] + ["too-cold"] * (kind in CAN_BE_TOO_COLD)
    for stage in stages:
        words = words_for(kind, stage)

        assert 0 < len(words.title) <= 40
        assert words.text.endswith((".", "!")) and len(words.text) <= 170


def test_the_table_has_no_row_that_nothing_rings():
    stages = {kind: {stage.rstrip("-12345678") for stage, _, _ in rings} for kind, rings in RINGS.items()}
    written = {kind: set(rows) - {"cautions", "too-cold"} for kind, rows in table().items()}

    assert stages == written


def test_every_caution_it_names_is_one_of_the_trades():
    named = {id for rows in table().values() for id in rows["cautions"]}

    assert named <= set(cautions())


def test_no_word_says_that_anything_is_safe():
    said = " ".join(" ".join(row) for rows in table().values() for row in rows.values()).lower()

    assert " safe" not in said.replace("until they are safe", "")


def test_an_operation_is_named_with_its_piece_where_it_has_one():
    glue = SHEET.operations[0]

    assert title_of(glue) == "Glue the rim, piece A"
    assert title_of(replace(glue, piece="")) == "Glue the rim"


@pytest.mark.parametrize("text", ["a\r\nBEGIN:VEVENT", "a\nEND:VCALENDAR", "\x1b[31mred", "a\u0085b", "\ud800"])
def test_control_characters_become_spaces(text):
    said = plain(text)

    assert len(text) == len(said) and said.isprintable()
