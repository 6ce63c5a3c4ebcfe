from benchbell.recipe.compiler import MOST, compile_text
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from random_recipes import recipes
from small_recipes import FIT, LEGS, PARTS, TITLE, compiled, glue, operations, sound, work

FENCE = '\n[[setup]]\nid = "fence"\nstation = "table saw"\nminutes = 6\nset = { fence = "40 mm" }\nprove = "Rip."\n'
RIP = work("rip", ["leg"], 'setup = "fence"\nminutes = { each = 1 }')


def test_a_setup_is_set_up_once_for_all_pieces():
    rips = [op for op in sound(TITLE + LEGS + FENCE + RIP, 3).operations if op.setup]

    assert [op.setup_minutes for op in rips] == [6, 0, 0]
    assert [op.minutes for op in rips] == [8, 2, 2]


def test_a_setup_named_again_later_still_stands():
    again = RIP.replace('"rip"', '"rip-again"')

    assert operations(TITLE + LEGS + FENCE + RIP + work("plane", ["leg"]) + again)["rip-again"].setup_minutes == 0


def test_another_setting_of_the_same_station_breaks_it():
    again = RIP.replace('"rip"', '"rip-again"')
    other = work("crosscut", ["leg"], 'station = "table saw"\nminutes = { setup = 3, each = 1 }')

    assert operations(TITLE + LEGS + FENCE + RIP + other + again)["rip-again"].setup_minutes == 6


def test_work_at_the_station_that_sets_nothing_leaves_it_standing():
    again = RIP.replace('"rip"', '"rip-again"')
    other = work("crosscut", ["leg"], 'station = "table saw"\nminutes = 4')

    assert operations(TITLE + LEGS + FENCE + RIP + other + again)["rip-again"].setup_minutes == 0


def test_findings_stand_errors_first_then_by_line():
    text = TITLE + LEGS + FENCE.replace('prove = "Rip."\n', "") + RIP.replace('"leg"', '"lge"') + work("a", ["lge"])
    found = compiled(text).findings

    assert [finding.grade for finding in found] == ["error", "error"]
    assert [finding.line for finding in found] == sorted(finding.line for finding in found)


def test_with_an_error_no_warning_is_looked_for():
    assert {finding.rule for finding in compiled(PARTS + glue() + work("x", ["legg"])).findings} == {"unknown-name"}


def test_a_build_has_a_size_a_phone_can_carry():
    many = LEGS.replace("count = 2", "count = 200")
    fits = compiled(TITLE + many + work("plane", ["leg"]), MOST // 200)

    assert len(fits.parts) == MOST
    assert [finding.rule for finding in compiled(TITLE + many + work("plane", ["leg"]), 26).findings] == ["too-many"]


def test_many_operations_are_too_many():
    coats = "".join(work(f"oil{n}", ["leg"], 'coat = { with = "shellac", coats = 12 }') for n in range(17))

    assert [finding.what for finding in compiled(TITLE + LEGS + coats, 26).findings] == [
        "The build would have 5,304 operations, more than 5,000."
    ]


def test_only_glues_that_are_used_send_their_figures():
    assert set(compiled(PARTS + FIT + glue(with_="hide-liquid")).figures) == {"hide-liquid"}
    assert compiled(PARTS + FIT).figures == {}


@given(recipes(), st.integers(1, 4))
def test_compiling_is_the_same_every_time(text, pieces):
    assert compile_text(text, "random.toml", pieces) == compile_text(text, "random.toml", pieces)


@given(recipes())
def test_every_piece_is_built_alike(text):
    """But for its letter, for work done once, and for setups that stand already."""
    sheet = compile_text(text, "random.toml", 2)

    def without_letter(piece):
        """A piece's operations without its letter, and without what depends on the other piece."""
        return [
            replace(
                op, id="", piece="", after=(), holds=(), minutes=0, setup_minutes=0, clocks=(),
                parts=tuple(part.removeprefix(f"{piece}/") for part in op.parts),
                makes=op.makes and op.makes.removeprefix(f"{piece}/"),
            )
            for op in sheet.operations
            if op.piece == piece
        ]  # fmt: skip

    assert without_letter("A") == without_letter("B")
