"""What keeps a task, as a maker reads it."""

import pytest
from benchbell.plan.model.problem import Hand
from benchbell.plan.report.kept_in_words import KEPT_WORDS
from benchbell.plan.report.what_keeps import Kept
from msgspec.structs import replace
from plan.report.contexts import context_for
from plan.shop_day import build_of
from small_recipes import PARTS, work

CUT, SAND, OIL = "b|A/cut|work", "b|A/sand|work", "b|A/oil|work"
BUILD = build_of(
    PARTS
    + work("cut", ["rail"], 'station = "table saw"\nminutes = 10')
    + work("sand", ["rail"], 'station = "sanding"\nminutes = 30')
    + work("oil", ["leg"], 'minutes = 20\ncoat = { with = "waterborne", recoat = "2 h" }')
)
C = context_for(BUILD, starts={OIL: 0, CUT: 20, SAND: 30})


def words(op, *kept):
    """What is said of it."""
    found = Kept(*kept)
    return KEPT_WORDS[found.what](C.t.at[op], found, C)


@pytest.mark.parametrize(
    ("op", "kept", "said"),
    [
        (SAND, ("left", 5), "Not sooner: 5 min of it would be left over at closing."),
        (SAND, ("begun", 10), "Not sooner: closing would stop it after 10 min."),
        (SAND, ("dust", 140, (OIL,)), "Not sooner: its dust would spoil “Oil”, wet until 10:20."),
        (SAND, ("dust", 140), "Not sooner: its dust would spoil a coat, wet until 10:20."),
        (OIL, ("wet", 140, (SAND,)), "Not sooner: it would be wet while “Sand” throws dust."),
        (OIL, ("hurry", 540), "Not sooner: it would be rushed, just before closing at 17:00."),
    ],
)
def test_a_fault_of_craft_that_an_earlier_start_would_have(op, kept, said):
    assert words(op, *kept) == said


def test_who_is_away_is_named_with_the_station():
    crew = replace(C, t=replace(C.t, problem=replace(C.t.problem, crew=(Hand("Anna"), Hand("Otto")))))
    one = replace(C.t.at[CUT], hand=0)

    said = KEPT_WORDS["away"](one, Kept("away", 60), crew)
    assert said == "Not before 09:00: of those who may use the table saw, only Anna is there then."


def test_a_machine_is_in_use_and_a_place_is_taken():
    assert words(CUT, "station", 60, (CUT,)) == "Not before 09:00: the table saw is in use until then."
    assert words(SAND, "station", 60, (SAND,)) == "Not before 09:00: “Sand” takes the same place until then."
