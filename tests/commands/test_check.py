"""benchbell check and benchbell sheet, at a terminal."""

import io
import json
import re
import sys
from pathlib import Path

import pytest
from benchbell.cli import main
from benchbell.commands.operation_lines import runs_of_copies
from benchbell.commands.recipe_files import standard_input
from small_recipes import FIT, PARTS, RAIL, TITLE, glue, work

ROOT = Path(__file__).parents[2]
BENCH = ROOT / "recipes/hall-bench.toml"

STOOL = PARTS + work("plane", ["leg", "rail"], 'station = "planer"\nminutes = { setup = 2, each = 3 }') + FIT
STOOL += glue() + work("oil", ["frame"], 'coat = { with = "hardwax-oil", coats = 2 }\nmeasure = ["seat"]')
STOOL = STOOL.replace("[[part]]", '[size]\nseat = { plan = "18 in", measure = "Over the rails." }\n\n[[part]]', 1)

OPERATION_KEYS = {
    "id", "piece", "title", "station", "setup", "parts", "makes", "after", "minutes", "clocks", "cautions",
}  # fmt: skip


@pytest.fixture
def file(tmp_path):
    """A function that writes a recipe and gives its name."""

    def write(text, name="stool.toml"):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    return write


def asked(capsys, *words):
    """What the program prints: its exit code, standard output, the error stream."""
    code = main([str(word) for word in words])
    shown = capsys.readouterr()
    return code, shown.out, shown.err


def test_a_recipe_without_findings_gives_one_line(capsys, file):
    path = file(STOOL)

    assert asked(capsys, "check", path) == (0, f"{path}: no findings. 5 operations, 3 parts.\n", "")


def test_each_finding_gives_a_line_and_an_error_fails(capsys, file):
    path = file(STOOL.replace('parts = ["frame"]', 'parts = ["fraem"]'))
    line = STOOL[: STOOL.index('parts = ["frame"]')].count("\n") + 1

    assert asked(capsys, "check", path) == (
        1,
        f"{path}:{line}: error: Operation oil works on “fraem”, which is not a part or assembly up to here. "
        "Did you mean frame?\n",
        "",
    )


def test_a_warning_does_not_fail(capsys, file):
    code, out, _ = asked(capsys, "check", file(STOOL.replace("3 min", "12 min")))

    assert code == 0
    assert "warning: Operation glue takes 12 min to spread and close" in out
    assert out.endswith("or use pva-slow. [spread-too-long]\n")


def test_several_recipes_are_checked_and_one_error_fails(capsys, file):
    code, out, _ = asked(capsys, "check", file(STOOL, "a.toml"), file("title = 3", "b.toml"))

    assert code == 1
    assert re.findall(r"(\w)\.toml:", out) == ["a", "b", "b", "b"]


def test_findings_as_json(capsys, file):
    path = file("title = 3")
    code, out, _ = asked(capsys, "check", path, "--json")

    assert code == 1
    assert json.loads(out)["findings"][-1] == {
        "grade": "error",
        "rule": "form",
        "file": path,
        "line": 1,
        "what": "title is 3, not text.",
        "next_step": "Write it in quotes.",
    }


def test_the_schema_is_printed_for_editors(capsys):
    code, out, _ = asked(capsys, "check", "--schema")

    assert code == 0
    assert json.loads(out)["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("check",), "No recipe is named.\nWrite benchbell check recipes/NAME.toml.\n"),
        (
            ("check", "/nowhere.toml"),
            "/nowhere.toml cannot be read: No such file or directory.\nCheck the file's name.\n",
        ),
        (("sheet", "/"), "/ cannot be read: Is a directory.\nCheck the file's name.\n"),
    ],
)
def test_a_file_that_cannot_be_read_is_named_on_the_error_stream(capsys, words, said):
    assert asked(capsys, *words) == (1, "", said)


def test_bytes_that_are_not_text_are_refused(capsys, tmp_path):
    path = tmp_path / "a.toml"
    path.write_bytes(b"title = '\xff'")

    assert asked(capsys, "check", path) == (1, "", f"{path} is not text in UTF-8.\nSave it as plain text.\n")


def test_good_files_are_told_beside_one_that_is_missing(capsys, file):
    good = file(STOOL)
    code, out, err = asked(capsys, "check", "/nowhere.toml", good)

    assert (code, out) == (1, f"{good}: no findings. 5 operations, 3 parts.\n")
    assert err.startswith("/nowhere.toml cannot be read")
    assert json.loads(asked(capsys, "check", "/nowhere.toml", good, "--json")[1])["refused"][0] == {
        "file": "/nowhere.toml",
        "error": "/nowhere.toml cannot be read: No such file or directory.",
        "next_step": "Check the file's name.",
    }


def test_strict_fails_on_a_warning_and_not_on_an_accepted_one(capsys, file):
    slow = STOOL.replace("3 min", "12 min")
    accepted = slow.replace('id = "glue"', 'id = "glue"\naccept = { "spread-too-long" = "Two of us." }')

    assert asked(capsys, "check", "--strict", file(slow))[0] == 1
    code, out, _ = asked(capsys, "check", "--strict", file(accepted))
    assert code == 0
    assert ": accepted: Operation glue takes 12 min" in out
    assert out.endswith("Accepted: Two of us. [spread-too-long]\n")
    assert "Accepted: Two of us." in asked(capsys, "sheet", "--accepted", file(accepted))[1]
    assert asked(capsys, "sheet", file(accepted))[1].endswith(
        "\n1 warning accepted by the recipe: spread-too-long. See them with --accepted.\n"
    )


def test_several_pieces_are_checked(capsys, file):
    assert "10 operations, 6 parts." in asked(capsys, "check", file(STOOL), "--pieces", 2)[1]
    assert asked(capsys, "check", file(STOOL), "--pieces", 27)[0] == 1


def test_one_thing_is_not_told_as_several(capsys, file):
    one = TITLE + RAIL + work("plane", ["rail"])

    assert asked(capsys, "check", file(one))[1].endswith(": no findings. 1 operation, 1 part.\n")
    assert asked(capsys, "sheet", file(one))[1].startswith("Stool, pieces A: 1 operation, ")


def test_a_recipe_comes_from_standard_input(capsys, monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(STOOL.encode())))
    standard_input.cache_clear()

    assert asked(capsys, "check", "-") == (0, "-: no findings. 5 operations, 3 parts.\n", "")
    assert asked(capsys, "sheet", "-")[0] == 0
    standard_input.cache_clear()


def test_a_cutting_list_for_reading(capsys, file):
    out = asked(capsys, "sheet", file(STOOL), "--pieces", 2)[1]

    for line in (
        "\nwhite ash, 8/4 (50.8 mm) as bought\n    4 × Leg   420 × 40 × 40 mm  rough 445 × 46 mm\n",
        "\nwhite ash, 5/4 (31.8 mm) as bought\n    2 × Rail  340 × 70 × 25 mm  rough 365 × 76 mm\n",
        "     finished size: Leg 420 mm long, 40 mm wide, 40 mm thick; Rail 340 mm long, 70 mm wide, 25 mm thick\n",
    ):
        assert line in out


def test_a_cutting_list_in_inches(capsys, file):
    out = asked(capsys, "sheet", file(STOOL.replace("[size]", 'units = "in"\n\n[size]', 1)))[1]

    assert "    2 × Leg   ≈16 17/32 × ≈1 37/64 × ≈1 37/64 in  rough 17 9/16 × 1 7/8 in\n" in out
    assert [line for line in out.splitlines() if " mm" in line and not line.startswith("  ! ")] == []


def test_a_file_that_is_far_too_long_is_called_too_long_wherever_it_is_cut(capsys, tmp_path):
    path = tmp_path / "a.toml"
    path.write_bytes(b"#" + "é".encode() * 600_000)
    code, out, _ = asked(capsys, "check", path)

    assert code == 1
    assert "The recipe has more than 1,000,000 bytes." in out


def test_a_sheet_as_json_is_one_object_with_all_that_is_built_from(capsys, file):
    code, out, _ = asked(capsys, "sheet", file(STOOL), "--pieces", 2, "--json")
    sheet = json.loads(out)

    assert code == 0
    assert set(sheet) >= {"operations", "parts", "assemblies", "setups", "findings"}
    assert [op["id"] for op in sheet["operations"]][:2] == ["A/plane", "B/plane"]
    assert all(set(op) >= OPERATION_KEYS for op in sheet["operations"])


def test_a_sheet_with_an_error_fails_and_says_why(capsys, file):
    path = file("title = 3")
    code, out, err = asked(capsys, "sheet", path)

    assert (code, out) == (1, "")
    assert f"{path}:1: error: title is 3, not text. Write it in quotes.\n" in err
    assert asked(capsys, "sheet", path, "--json")[0] == 1


def test_a_build_has_no_27th_piece(capsys, file):
    path = file(STOOL)
    said = f"{path}:0: error: A build has 1 to 26 pieces, not 27. Start several builds.\n"

    assert asked(capsys, "sheet", path, "--pieces", 27) == (1, "", said)


def test_a_sheet_for_reading(capsys, file):
    code, out, _ = asked(capsys, "sheet", file(STOOL))

    assert code == 0
    assert out.startswith("Stool, pieces A: 5 operations, 14 min of attended work\n")
    for line in (
        "  1. Plane  [A/plane]\n     planer, 11 min attended\n     parts A/leg-1…2, A/rail\n     finished size: Leg ",
        "     parts A/leg-1…2, A/rail → A/frame\n     clock open: at most 5 min",
        "     measure seat, planned 457.2 mm: Over the rails.\n",
        "     not before A/oil-1's recoat is over\n",
        "\nwhite ash: 1.25 board feet (0.00296 m³) with 20 % allowance, 3 parts, counted as thick as the boards",
    ):
        assert line in out


def test_copies_that_follow_each_other_are_put_together():
    parts = ["A/leg-1", "A/leg-2", "A/leg-4", "A/rail", "B/leg-1", "seat-9", "seat-10"]

    assert runs_of_copies(parts) == ["A/leg-1…2", "A/leg-4", "A/rail", "B/leg-1", "seat-9…10"]


def test_the_shops_air_clamps_and_labels_come_from_a_file(capsys, file):
    shop = file('celsius = 8\n[clamps]\nband = 1\n[labels."pva-interior"]\nleast_celsius = 9\n', "shop.toml")
    code, out, _ = asked(capsys, "check", file(STOOL), "--shop", shop)

    assert code == 0
    assert "is glued at 8 °C (46 °F), pva-interior needs at least 9 °C (48 °F)." in out


def test_a_shops_file_may_be_in_fahrenheit(capsys, file):
    shop = file('fahrenheit = 46.4\n[labels."pva-interior"]\nleast_fahrenheit = 48.2\n', "shop.toml")

    assert (
        "is glued at 8 °C (46 °F), pva-interior needs at least 9 °C (48 °F)."
        in asked(capsys, "check", file(STOOL), "--shop", shop)[1]
    )


def test_a_sheet_promises_no_clamp_time_in_the_cold(capsys, file):
    # Common practice, no source: plain PVA below 10 °C and hardwax oil below 15 °C do not set; rags burn all the same.
    cold = asked(capsys, "sheet", file(STOOL), "--shop", file("celsius = 8", "shop.toml"))[1]

    assert "! Not at this temperature: 8 °C (46 °F) in the shop, pva-interior needs at least 10 °C (50 °F)." in cold
    assert "clock glue setting: not at this temperature" in cold
    assert "clock recoat: not at this temperature" in cold
    assert "clock glue setting: at least" not in cold
    assert "clock rags: into a closed metal can with water now, or flat and single outdoors; it rings after" in cold
    assert "not at this temperature" not in asked(capsys, "sheet", file(STOOL))[1].lower()


def test_a_sheet_promises_no_next_coat_in_damp_air(capsys, file):
    # Most humidity for hardwax oil: 80 %, from memory.
    damp = asked(capsys, "sheet", file(STOOL), "--shop", file("humidity = 85", "shop.toml"))[1]

    assert (
        "! Not in air so damp: 85 % relative humidity in the shop, hardwax-oil needs at most 80 %. "
        "Wait for drier air, or warm and dry the room first." in damp
    )
    assert "clock recoat: not in air so damp" in damp
    assert "clock glue setting: at least" in damp


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("celcius = 12", "Object contains unknown field `celcius`"),
        ("celsius = 60", "Expected `float` <= 45.0 - at `$.celsius`"),
        ("celsius =", "Invalid value (at end of document)"),
    ],
)
def test_a_shop_file_with_a_slip_is_refused(capsys, file, text, said):
    shop = file(text, "shop.toml")
    code, _, err = asked(capsys, "check", BENCH, "--shop", shop)

    assert code == 1
    assert err.startswith(f"{shop} is not a shop file: {said}.\n")


CHOICES = """
[choice.seat_high]
ask = "How high is the seat?"
default = "18 in"
least = "16 in"
most = "20 in"

[choice.oiled]
ask = "Oiled?"
default = true

[size]
"""
ASKING = STOOL.replace("[size]\n", CHOICES, 1).replace('plan = "18 in"', 'plan = "seat_high"')
ASKING = ASKING.replace("coat = {", 'when = "oiled"\ncoat = {').replace('measure = ["seat"]', "")
ASKING += work("sit", ["frame"], 'measure = ["seat"]')


def test_choices_are_answered_on_the_command_line_and_told(capsys, file):
    path = file(ASKING)
    code, out, _ = asked(capsys, "sheet", path, "--set", "seat_high=17 in", "--set", "oiled=no")

    chosen = ["chosen: How high is the seat? 17 in [seat_high]", "chosen: Oiled? no [oiled]"]
    assert (0, chosen) == (code, out.splitlines()[1:3])
    assert "planned 431.8 mm" in out
    assert "oil" not in out.replace("Oiled? no [oiled]", "")


def test_a_choice_is_answered_for_one_piece(capsys, file):
    path = file(ASKING)
    code, out, _ = asked(capsys, "sheet", path, "--pieces", 2, "--set", "B.seat_high=17 in")

    assert (0, "chosen: How high is the seat? 18 in, piece B 17 in [seat_high]") == (code, out.splitlines()[1])
    assert (0, "") == asked(capsys, "check", path, "--set", "B.seat_high=17 in")[::2]


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        ("seat_high=25 in", "Choice seat_high: 635 mm is above 20 in, the most. Choose from 16 in to 20 in."),
        ("seat_hihg=17 in", "The recipe has no choice seat_hihg. Did you mean seat_high?"),
        ("B.seat_high=9 mm", "Piece B: Choice seat_high: 9 mm is below 16 in, the least."),
        ("seat_high", "--set seat_high names no choice.\nWrite it like --set width='500 mm'."),
    ],
)
def test_a_wrong_answer_says_what_is_allowed(capsys, file, answer, said):
    code, out, err = asked(capsys, "check", file(ASKING), "--set", answer)

    assert 1 == code
    assert said in out + err


def test_of_several_recipes_each_takes_the_answers_to_its_own_choices(capsys, file):
    paths = file(ASKING, "a.toml"), file(STOOL, "b.toml")

    assert 0 == asked(capsys, "check", *paths, "--set", "oiled=no")[0]
    assert (
        "--set oilt=no: no recipe here has a choice oilt.\nSee them with benchbell sheet --json.\n"
        == asked(capsys, "check", *paths, "--set", "oilt=no")[2]
    )


def test_a_fragment_is_found_beside_the_recipe_and_among_the_shipped_ones(capsys, file, tmp_path):
    (tmp_path / "fragments").mkdir()
    (tmp_path / "fragments/seat.toml").write_text(
        'title = "Seat"\n\n[[part]]\nid = "seat"\nstock = "white ash"\nsize = ["400 mm", "300 mm", "30 mm"]\n'
        + work("shape", ["seat"]).replace("parts = ", "partz = "),
        encoding="utf-8",
    )
    uses = '\n[[use]]\nfragment = "seat"\nas = "top"\n\n[[use]]\nfragment = "leg-frame"\nas = "end"\n'
    code, out, _ = asked(capsys, "check", file(STOOL + uses))

    assert 1 == code
    assert out.startswith(f"{tmp_path}/stool.toml:")
    assert ": error: In top: Operation shape: partz is not a key of the language." in out
    assert f" ({tmp_path}/fragments/seat.toml:10)" in out
    assert "leg-frame" not in out


def test_a_shops_machines_may_be_in_inches(capsys, file):
    wide = TITLE + RAIL.replace("70 mm", "400 mm") + work("plane", ["rail"], 'station = "planer"')
    said = "the planer takes 254 mm."

    assert said in asked(capsys, "check", file(wide), "--shop", file("[widths_in]\nplaner = 10", "shop.toml"))[1]
    assert "too-wide" not in asked(capsys, "check", file(wide), "--shop", file("[widths_in]\nplaner = 16", "s.toml"))[1]
    refused = asked(capsys, "check", file(wide), "--shop", file('[widths_in]\nplaner = "wide"', "shop.toml"))
    assert refused[0] == 1
    assert "is not a shop file" in "".join(map(str, refused))


def test_a_wait_that_is_over_before_an_earlier_operation_is_not_said_again(capsys):
    out = asked(capsys, "sheet", ROOT / "recipes/mantel-clock.toml")[1]

    assert out.count("not before A/press-front's rest is over") == 1
    assert out.count("not before A/shellac-1's recoat is over") == 1
