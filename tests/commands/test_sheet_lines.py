"""What a printed sheet says once, and what at each operation."""

import pytest
from benchbell.commands.material_line import three_figures
from benchbell.commands.sheet import sheet_lines
from benchbell.commands.sheet_cautions import own_cautions, shared_cautions
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.times import assembly_minutes
from small_recipes import FIT, PARTS, compiled, glue, work

SAWN = PARTS + work("plane", ["leg", "rail"], 'station = "planer"') + work("rip", ["rail"], 'station = "table saw"')
SAWN += work("cut", ["leg"], 'station = "table saw"\ncaution = ["sharp-edges"]') + FIT + glue()


@pytest.mark.parametrize(
    ("value", "shown"),
    [(0, "0"), (0.0000671, "0.0000671"), (0.31, "0.31"), (22.34, "22.3"), (346.2, "346"), (1234.4, "1234")],
)
def test_an_amount_has_no_exponent(value, shown):
    assert three_figures(value) == shown


def lines(text, **shop):
    return list(sheet_lines(compiled(text, **shop), ShopProfile(**shop)))


def test_what_all_operations_of_a_station_share_is_said_once():
    sheet = compiled(SAWN)
    shared = shared_cautions(sheet)
    by_name = {op.name: op for op in sheet.operations}

    assert set(shared) == {"table saw", "assembly table"}
    assert "guard-riving-knife" in shared["table saw"]
    assert own_cautions(by_name["rip"], shared) == []
    assert own_cautions(by_name["cut"], shared) == ["sharp-edges"]
    assert own_cautions(by_name["plane"], shared) == list(by_name["plane"].cautions)


def test_every_caution_stands_somewhere_before_its_operation_or_at_it():
    sheet = compiled(SAWN)
    text = "\n".join(lines(SAWN))
    shared = shared_cautions(sheet)

    for op in sheet.operations:
        assert set(op.cautions) == {*own_cautions(op, shared), *shared.get(op.station, ())} or not shared
        assert text.index("Cautions. ") < text.index(f"[{op.id}]")
    assert "\n  table saw: manual-first, hands-clear," in text
    assert "\n     ! sharp-edges\n" in text


@pytest.mark.parametrize(
    ("glued", "said"),
    [
        # The trade's table: plain PVA 5 min open and 10 min to tight clamps, liquid hide glue 10 and 20.
        (glue(), "at most 5 min, then closed assembly: joints driven home at most 10 min from first glue (PVA"),
        (
            glue(with_="hide-liquid"),
            "at most 10 min, then closed assembly: joints driven home at most 20 min from first glue",
        ),
        (
            glue(more=', open = "30 min"'),
            "at most 30 min, then closed assembly: joints driven home at most 30 min from",
        ),
    ],
)
def test_the_sheet_tells_open_time_and_closed_assembly_time(glued, said):
    found = [line for line in lines(PARTS + FIT + glued) if "clock open" in line]

    assert len(found) == 1
    assert said in found[0]


def test_the_check_and_the_sheet_go_by_one_assembly_time():
    at_edge = compiled(PARTS + FIT + glue(with_="hide-liquid", spread="20 min"))
    past = compiled(PARTS + FIT + glue(with_="hide-liquid", spread="21 min"))
    op = next(op for op in at_edge.operations if op.step == "glue-up")

    assert assembly_minutes(op, ShopProfile()) == 20
    assert "spread-too-long" not in {finding.rule for finding in at_edge.findings}
    assert "must be in tight clamps within 20 min" in str(past.findings[0])


def test_the_second_piece_says_only_what_is_not_as_in_the_first():
    sheet = compiled(SAWN, pieces=2)
    text = "\n".join(sheet_lines(sheet, ShopProfile()))

    first, second = (text.index(f"[{piece}/plane]") for piece in "AB")
    assert text[second:].startswith("[B/plane]\n     planer\n     all else as 1, for piece B\n")
    assert "- Do it." in text[first:second]


def test_a_clocks_source_is_not_repeated_below_it():
    found = [line for line in lines(PARTS + FIT + glue()) if line.startswith("     clock ")]

    assert [line.count("typical of its class") for line in found] == [1, 0, 0, 0]
    assert found[-1].endswith("at most 40 min (PVA, plain white or yellow: common practice, no source)")
