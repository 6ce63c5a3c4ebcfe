"""What a label says."""

from benchbell.bench.happenings import Started
from benchbell.labels.label import Label, address, build_labels
from benchbell.recipe.compiler import compile_text
from bow_recipe import LAMINATE, MADE, OWNED, START
from labels.sample import CODES, HOST, STARTED
from small_recipes import LEGS, TITLE, compiled, work

LABELS = {label.id: label for label in build_labels(STARTED)}


def test_every_part_assembly_station_setup_and_rack_has_one():
    expected = {*CODES, "mitre saw", "bench", "splay-cut", "band", "bar"}

    assert expected == LABELS.keys()


def test_a_part_says_where_it_goes_and_what_it_meets():
    expected = Label(
        kind="part",
        id="A/leg-2",
        code=CODES["A/leg-2"],
        title="Leg 2",
        piece="A",
        place="front left",
        mark="outside",
        mates=("top end meets Top with “breadboard” ends, front left corner", "A meets Stretcher"),
    )

    assert expected == LABELS["A/leg-2"]


def test_ends_without_a_name_are_left_out():
    assert LABELS["A/stretcher"].mates == ("meets Leg 1, A", "meets Leg 2, A", "meets Leg 3, A")


def test_an_assembly_says_what_is_in_it_and_what_meets_it():
    expected = ("of Leg 1, Leg 2, Leg 3", "leg tops meets Top with “breadboard” ends, sockets")

    assert expected == LABELS["B/frame"].mates


def test_a_setup_says_its_station_and_planned_values():
    setup = LABELS["splay-cut"]

    assert (setup.place, setup.mates) == ("mitre saw", ("table angle 8°",))


def test_a_station_says_the_setups_it_takes():
    assert LABELS["mitre saw"].mates == ("Splayed ends",)


def test_a_rack_says_the_most_clamps_of_one_glue_up():
    assert (LABELS["bar"].title, LABELS["bar"].mates) == ("bar clamps", ("up to 4 at once",))


def test_a_part_made_again_has_its_new_code():
    again = {label.id: label for label in build_labels(STARTED, {"A/leg-2": "0000005A"})}

    assert again["A/leg-2"].code == "0000005A"
    assert LABELS["A/leg-1"] == again["A/leg-1"]


def test_addresses_are_capitals_and_tell_what_they_open():
    assert f"HTTPS://{HOST}/P/{CODES['A/leg-2']}" == address(LABELS["A/leg-2"], "bench.local:8443")
    assert f"HTTPS://{HOST}/P/{CODES['A/frame']}" == address(LABELS["A/frame"], HOST)
    assert f"HTTPS://{HOST}/S/MITRE-SAW" == address(LABELS["mitre saw"], HOST)
    assert f"HTTPS://{HOST}/U/SPLAY-CUT" == address(LABELS["splay-cut"], HOST)
    assert f"HTTPS://{HOST}/C/BAR" == address(LABELS["bar"], HOST)


def test_a_form_that_is_made_here_has_the_label_of_the_part_that_it_is():
    labels = {label.kind: label for label in bow_labels(MADE)}

    assert labels["fixture"] == Label("fixture", "form", "00000000", "Bow form", mates=("For bows.",))
    assert address(labels["fixture"], HOST) == f"HTTPS://{HOST}/P/00000000"


def test_a_press_of_the_shop_is_found_by_its_name():
    labels = {label.kind: label for label in bow_labels(OWNED)}

    assert labels["fixture"] == Label("fixture", "vacuum press", "", "vacuum press")
    assert address(labels["fixture"], HOST) == f"HTTPS://{HOST}/F/VACUUM-PRESS"


def bow_labels(fixture):
    """The labels of a build that bends a bow in a fixture."""
    sheet = compile_text(START + fixture + LAMINATE, "bow.toml")
    things = (*sheet.parts, *sheet.assemblies)
    return build_labels(Started("Bow", sheet, "", {thing.id: "00000000" for thing in things}))


def test_a_part_cut_from_a_board_with_others_says_which_of_them_it_is():
    side = LEGS.replace("count = 2", 'count = 2\nboard = "run"')
    sheet = compiled(TITLE + side + work("cut", ["leg"]))
    labels = {one.id: one for one in build_labels(Started("Box", sheet, "", {"A/leg-1": "1", "A/leg-2": "2"}))}

    assert labels["A/leg-2"].mates == ("2 of 2 from the run",)
