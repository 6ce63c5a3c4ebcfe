import argparse
import json
import re
import shlex

import pytest
from benchbell import reckon
from benchbell.reckon.examples import EXAMPLES

UNIT = re.compile(r"_(percent|mm|deg|minutes|n|n_per_mm2|m_per_s|ft_per_min|rpm|hours|dba|m3|kg|ft2|feet|per_percent)$")
COUNTS = {"clamps", "by_force", "by_spacing", "most_rpm", "gravity"}


def parser():
    program = argparse.ArgumentParser(prog="benchbell")
    reckon.add_to(program.add_subparsers(dest="command", required=True))
    return program


def asked(capsys, subject, arguments):
    """What `benchbell reckon` gives: its exit code, what it prints, what it complains."""
    code = reckon.run(parser().parse_args(["reckon", subject, *shlex.split(arguments)]))
    shown = capsys.readouterr()
    return code, shown.out, shown.err


def figures(capsys, subject, arguments):
    code, out, err = asked(capsys, subject, f"{arguments} --json")

    assert (code, err) == (0, "")
    return json.loads(out)


def test_every_subject_has_an_example():
    assert {command.name for command in reckon.COMMANDS} == set(EXAMPLES)


@pytest.mark.parametrize("subject", EXAMPLES)
def test_every_answer_has_its_source_and_where_it_holds(capsys, subject):
    code, out, err = asked(capsys, subject, EXAMPLES[subject])

    assert (code, err) == (0, "")
    assert re.search(r"^Source: .{8,}$", out, re.MULTILINE)
    assert re.search(r"^Holds: .{8,}$", out, re.MULTILINE)


@pytest.mark.parametrize("subject", EXAMPLES)
def test_every_figure_in_json_carries_its_unit(capsys, subject):
    found = figures(capsys, subject, EXAMPLES[subject])
    numbers = {key for key, value in found.items() if isinstance(value, int | float) and not isinstance(value, bool)}

    assert found["source"]
    assert found["validity"]
    assert {key for key in numbers - COUNTS if not UNIT.search(key)} == set()


# Wood Handbook, FPL-GTR-190, Table 4-2: 70 °F, 50 %: 9.2 %.
def test_moisture_content(capsys):
    assert figures(capsys, "emc", EXAMPLES["emc"])["emc_percent"] == pytest.approx(9.2, abs=0.1)
    assert "9.2 % moisture content" in asked(capsys, "emc", EXAMPLES["emc"])[1]


# Eq. 13-2, C_T 0.00365, from 6.17 to 13.09 % (70 °F, 30 and 70 %), by hand: 300 x 0.00365 x 6.92 = 7.58 mm.
def test_movement_is_told_to_two_figures_and_with_a_range(capsys):
    assert figures(capsys, "movement", EXAMPLES["movement"])["movement_mm"] == pytest.approx(7.58, abs=0.02)
    assert (
        "swells about 7.6 mm, between 6.1 and 9.1 mm (0.3, between 0.24 and 0.36 in)."
        in asked(capsys, "movement", EXAMPLES["movement"])[1]
    )


def test_movement_tells_which_equation_was_used(capsys):
    board = "--species 'black walnut' --width '200 mm' --from-percent 12"

    assert "eq. 13-2" in asked(capsys, "movement", f"{board} --to-percent 8")[1]
    assert "eq. 13-3" in asked(capsys, "movement", f"{board} --to-percent 18")[1]


def test_a_derived_coefficient_is_told(capsys):
    board = "--species 'yellow cedar' --width '200 mm' --from-percent 12 --to-percent 8"

    assert "coefficient derived from the shrinkage" in asked(capsys, "movement", board)[1]


# Tables for crown moulding, from memory.
def test_mitre(capsys):
    found = figures(capsys, "mitre", EXAMPLES["mitre"])

    assert (found["swing_deg"], found["tilt_deg"]) == pytest.approx((31.62, 33.86), abs=0.006)


# By hand: 20 in 600 mm; a leg 430 mm high leaning 10 and 6 degrees; 100 mm at 15 degrees.
def test_taper_leg_and_slant(capsys):
    assert figures(capsys, "taper", EXAMPLES["taper"])["angle_deg"] == pytest.approx(1.909, abs=0.0006)
    assert figures(capsys, "leg", EXAMPLES["leg"])["length_mm"] == pytest.approx(438.966, abs=0.0006)
    assert figures(capsys, "slant", EXAMPLES["slant"])["slant_mm"] == pytest.approx(103.528, abs=0.0006)


# Common practice, no source: plain PVA in clamps for 1 h, 24 h under stress; twice that in a cold shop.
@pytest.mark.parametrize(("stressed", "key", "minutes"), [("", "clamp", 120), ("--stressed", "stressed_clamp", 2880)])
def test_glue(capsys, stressed, key, minutes):
    assert figures(capsys, "glue", f"{EXAMPLES['glue']} {stressed}")[f"{key}_minutes"] == minutes


# The doubling rule's worked example: 6 h at 25 °C is 12 h at 15 °C.
def test_the_label_comes_first_and_is_told(capsys):
    bottle = "--with epoxy-slow --celsius 15 --label clamp_minutes=360 --label at_celsius=25"
    found = figures(capsys, "glue", bottle)

    assert found["clamp_minutes"] == 720
    assert found["from_label"] == ["clamp_minutes"]
    assert "in clamps at least 12 h — the container's label" in asked(capsys, "glue", bottle)[1]


# By hand: 68 °F is 20 °C, 59 °F is 15 °C, 77 °F is 25 °C.
@pytest.mark.parametrize(
    ("celsius", "fahrenheit"),
    [
        ("--celsius 20", "--fahrenheit 68"),
        ("--celsius 15 --label at_celsius=25", "--fahrenheit 59 --label at_fahrenheit=77"),
    ],
)
def test_temperatures_may_be_given_in_fahrenheit(capsys, celsius, fahrenheit):
    glue = "--with epoxy-slow --label clamp_minutes=360"

    assert asked(capsys, "glue", f"{glue} {celsius}") == asked(capsys, "glue", f"{glue} {fahrenheit}")


def test_a_slope_from_the_horizontal_and_a_lean_from_the_vertical_are_told_apart(capsys):
    for given in ("--lean 38", "--slope 52"):
        assert "leans 38° from the vertical, 52° from the horizontal" in asked(capsys, "mitre", f"--sides 4 {given}")[1]
    assert "leans 15° from the vertical" in asked(capsys, "slant", "--height '100 mm' --slope 75")[1]


@pytest.mark.parametrize(
    ("subject", "arguments"),
    [("mitre", "--sides 4 --slope 8"), ("slant", "--height 4in --lean 82"), ("leg", "--height 17in --front 50")],
)
def test_a_lean_that_looks_measured_from_the_other_line_is_asked_about(capsys, subject, arguments):
    assert "Is that so flat?" in asked(capsys, subject, arguments)[1]


@pytest.mark.parametrize("subject", ["slot", "panel", "drawer", "movement"])
def test_a_size_below_zero_is_refused(capsys, subject):
    arguments = EXAMPLES[subject].replace("'350 mm'", "'-350 mm'").replace("'120 mm'", "'-120 mm'")
    arguments = arguments.replace("'300 mm'", "'-300 mm'").replace("'400 mm'", "'-400 mm'")
    code, out, err = asked(capsys, subject, arguments.replace(" '-", "='-"))

    assert (code, out) == (1, "")
    assert "which is below zero. Write it without a minus." in err


def test_a_glue_up_that_takes_too_long_is_told(capsys):
    # Common practice, no source: plain PVA stays open 5 min.
    assert "Too long by 1 min: split the glue-up" in asked(capsys, "glue-up", EXAMPLES["glue-up"])[1]
    assert figures(capsys, "glue-up", EXAMPLES["glue-up"])["fits"] is False


# By hand: 600 x 25 mm of hard maple at 1.49 N/mm2 is 22.4 kN, 5 clamps of 4.5 kN; 175 mm apart, 4.
def test_clamps(capsys):
    found = figures(capsys, "clamps", EXAMPLES["clamps"])

    assert (found["clamps"], found["by_force"], found["by_spacing"], found["spacing_mm"]) == (5, 5, 4, 175)


# By hand, pi x d x n / 60,000; the common router speed table; 29 CFR 1910.95; board foot of 144 cubic inches.
def test_cutters_noise_and_timber(capsys):
    assert figures(capsys, "rim-speed", EXAMPLES["rim-speed"])["rim_m_per_s"] == pytest.approx(52.4, abs=0.05)
    assert figures(capsys, "router-speed", EXAMPLES["router-speed"])["most_rpm"] == 18000
    assert figures(capsys, "noise", EXAMPLES["noise"])["dose_percent"] == pytest.approx(125)
    assert figures(capsys, "board-feet", EXAMPLES["board-feet"])["board_feet"] == pytest.approx(4)
    assert figures(capsys, "surfaced", EXAMPLES["surfaced"])["dry_mm"] == pytest.approx(13 / 16 * 25.4)


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ("--cutter 'router bit' --diameter '45 mm' --rpm 22000", "usually turns at most 18,000 rpm."),
        ("--cutter 'router bit' --diameter '45 mm' --rpm 22000", "TOO FAST"),
        ("--cutter 'circular saw' --diameter '250 mm' --rpm 4000", "usually turns 3,438 to 5,348 rpm."),
        ("--cutter 'circular saw' --diameter '85 mm' --rpm 4000", "There is no usual speed for a circular saw of 85"),
    ],
)
def test_what_is_usual_goes_by_the_kind_of_cutter(capsys, arguments, sentence):
    assert sentence in asked(capsys, "rim-speed", arguments)[1]


def test_turns_for_a_rim_speed_in_metres_and_in_feet(capsys):
    # By hand: 60,000 x 50 / (pi x 250) = 3,820 rpm; 50 m/s is 9,842.5 ft/min.
    saw = "--cutter 'circular saw' --diameter '250 mm'"

    assert figures(capsys, "cutter-speed", f"{saw} --rim 50")["most_rpm"] == pytest.approx(3820, abs=0.5)
    assert figures(capsys, "cutter-speed", f"{saw} --rim-feet 9842.5")["most_rpm"] == pytest.approx(3820, abs=0.5)
    assert "the router table's limit" in asked(capsys, "cutter-speed", EXAMPLES["cutter-speed"])[1]


# By hand: 0.005 m3 of hard maple at 705.6 kg/m3.
def test_weight(capsys):
    assert figures(capsys, "weight", EXAMPLES["weight"])["weight_kg"] == pytest.approx(3.528)


def test_without_a_name_all_woods_are_listed(capsys):
    assert len(figures(capsys, "species", "")["species"]) > 40


@pytest.mark.parametrize(
    ("subject", "arguments", "complaint"),
    [
        (
            "emc",
            "--celsius 80 --humidity 50",
            "80 °C (176 °F) is outside -1.11 °C (30 °F) to 54.4 °C (130 °F), where the moisture equation",
        ),
        (
            "glue",
            "--with pva-interior --celsius 9",
            "9 °C (48 °F) is colder than 10 °C (50 °F), the least for pva-interior. Do not glue",
        ),
        ("glue", "--with mud --celsius 20", 'No glue is called "mud". Use one of: '),
        (
            "glue",
            "--with epoxy-slow --celsius 20 --label 8",
            "--label is “8”, which is not a figure. Write one as open",
        ),
        ("taper", "--offset 20 --length '600 mm'", "--offset is “20”, which is a number. Write a length with its unit"),
        ("taper", "--offset '7 deg' --length '600 mm'", "--offset is “7 deg”, which is an angle. Write a length"),
        ("taper", "--offset wide --length '600 mm'", "“wide” does not begin with a number. Write one such as 19 mm"),
        ("leg", "--height '430 mm' --front '10 mm'", "--front is “10 mm”, which is a length. Write an angle"),
        ("weight", "--species apple --thickness 1in --width 6in --length 8ft", "No density is known for apple. Weigh"),
        (
            "panel",
            "--species teak --width 1ft --now-percent 8 --driest-percent 9 --dampest-percent 6",
            "The driest, 9.0 %, is damper than the dampest, 6.0 %. Swap the two.",
        ),
    ],
)
def test_where_there_is_no_answer_it_says_why_and_what_to_do(capsys, subject, arguments, complaint):
    code, out, err = asked(capsys, subject, arguments)

    assert (code, out) == (1, "")
    assert err.startswith(complaint)


def test_a_refusal_is_json_too(capsys):
    code, out, err = asked(capsys, "emc", "--celsius 20 --humidity 99 --json")
    refusal = json.loads(out)

    assert code == 1
    assert refusal["error"].startswith("99 % relative humidity is outside 5 to 95 %, where")
    assert err == f"{refusal['error']} {refusal['next_step']}\n"
