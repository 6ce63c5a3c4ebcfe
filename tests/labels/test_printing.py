"""The findings about labels before they are printed."""

import pytest
from benchbell.labels.label import Label, build_labels
from benchbell.labels.lettering import built_in
from benchbell.labels.paper import roll
from benchbell.labels.printing import label_faces
from labels.sample import HOST, STARTED

LEG = Label("part", "A/leg-1", "BFXR71N8", "Leg 1", "A")


def said_of(label, layout, host=HOST):
    return [str(finding) for finding in label_faces([label], layout, host, built_in()).findings]


def test_labels_of_a_usual_size_print_without_a_word():
    assert label_faces(build_labels(STARTED), roll(64, 38), HOST, built_in()).findings == ()


def test_copies_follow_each_other():
    one, other = build_labels(STARTED)[:2]
    faces = label_faces([one, other], roll(62, 29), HOST, built_in(), copies=3).faces

    assert faces[0] == faces[1] == faces[2] != faces[3] == faces[5]
    assert len(faces) == 6


def test_a_square_with_too_small_modules_gives_its_figure():
    station = Label("station", "mitre saw", "", "mitre saw")

    # By hand: 37 characters at level Q make version 3, 37 modules with its quiet zone; the square is 12 mm wide.
    assert said_of(station, roll(25, 15)) == [
        "labels:0: warning: mitre saw prints its square with modules of 0.32 mm, the least is 0.4 mm. "
        "Print larger labels, or serve the page under a shorter name."
    ]


def test_a_code_alone_gives_a_finding():
    assert said_of(LEG, roll(25, 15)) == [
        "labels:0: warning: A/leg-1 has no room for an address: its square holds only the code. "
        "Scan it from within Benchbell, or print larger labels."
    ]


def test_words_left_out_give_a_finding():
    full = Label("part", "A/leg-1", "BFXR71N8", "Leg 1", "A", mates=("meets a rail",) * 40)

    assert said_of(full, roll(62, 29)) == [
        "labels:0: warning: A/leg-1 has more words than fit. Print larger labels, or shorten the recipe's words."
    ]


def test_a_rounded_setting_is_written_plainly_without_a_word():
    assert said_of(Label("setup", "setup:x", "", "Fence", mates=("depth ≈45/64 in",)), roll(62, 29)) == []


@pytest.mark.parametrize("field", ["title", "place", "mark"])
def test_replaced_letters_give_one_finding(field):
    words = {"title": "Leg"} | {field: "półka"}
    label = Label("part", "A/leg-1", "BFXR71N8", **words)

    assert said_of(label, roll(62, 29)) == [
        "labels:0: warning: A/leg-1 writes “półka” as “pólka”: the font lacks some of its letters. "
        "Give a font that has them with --font, or print from the page."
    ]
