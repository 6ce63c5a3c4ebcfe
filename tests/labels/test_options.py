"""Paper and labels in the maker's words."""

import pytest
from benchbell.findings import Refused
from benchbell.labels.label import build_labels
from benchbell.labels.options import PrintOptions, chosen_labels, copies_of, layout_of
from labels.sample import CODES, STARTED

LABELS = build_labels(STARTED)


def test_nothing_said_is_a_sheet_of_21():
    layout = layout_of(PrintOptions())

    assert (layout.paper, layout.rows, layout.columns) == ((210, 297), 7, 3)


@pytest.mark.parametrize(
    ("asked", "paper", "label"),
    [
        (PrintOptions("letter", 1, 1, margins="0 mm"), (215.9, 279.4), (215.9, 279.4)),
        (PrintOptions("100 mm x 150 mm", 3, 2, margins="0 mm"), (100, 150), (50, 50)),
        (PrintOptions("4 in × 6 in", 1, 1, margins="0 mm"), (101.6, 152.4), (101.6, 152.4)),
        (PrintOptions("A4", size="63.5 mm x 38 mm"), (210, 297), (63.5, 38)),
        (PrintOptions("A4", 2, 2, margins="5 mm x 8.5 mm", gaps="10 mm"), (210, 297), (95, 135)),
        (PrintOptions("roll 62 mm", size="29 mm"), (62, 29), (62, 29)),
        (PrintOptions("Roll 50 mm"), (50, 30), (50, 30)),
    ],
)
def test_sizes_are_read_in_any_unit(asked, paper, label):
    layout = layout_of(asked)

    assert layout.paper == pytest.approx(paper)
    assert layout.label == pytest.approx(label)


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (PrintOptions("B9"), "“B9” is not a known paper. Give A4, A5, Letter, 100 mm x 150 mm, or roll 62 mm."),
        (PrintOptions("roll"), "“” as paper cannot be read"),
        (PrintOptions("roll 62"), "“62” as paper is not a length. Write it with its unit, as 62 mm or 2 1/4 in."),
        (PrintOptions(size="1 mm x 2 mm x 3 mm"), "“1 mm x 2 mm x 3 mm” as size has more than two lengths."),
        (PrintOptions(margins="wide"), "“wide” as margins cannot be read"),
        (PrintOptions(rows=0), "A page of 0 × 3 labels cannot be divided. Give 1 to 100 rows and columns."),
        (PrintOptions(rows=4, size="60 mm x 30 mm"), "Both a label's size and rows or columns are given."),
        (PrintOptions(first=22), "The first free label is number 22, but a page has 21."),
    ],
)
def test_options_that_do_not_fit_are_refused(asked, sentence):
    with pytest.raises(Refused) as refusal:
        layout_of(asked)

    assert sentence in str(refusal.value)


@pytest.mark.parametrize(("copies", "labels"), [(0, 1), (51, 1), (50, 101)])
def test_more_copies_than_the_limits_are_refused(copies, labels):
    with pytest.raises(Refused, match=rf"{copies} copies of {labels} labels? cannot be printed"):
        copies_of(PrintOptions(copies=copies), labels)


def test_parts_and_assemblies_are_printed_when_nothing_is_said():
    assert {label.kind for label in chosen_labels(LABELS)} == {"part", "assembly"}
    assert {label.id for label in chosen_labels(LABELS)} == CODES.keys()


def test_kinds_can_be_chosen():
    assert [label.id for label in chosen_labels(LABELS, ["Station", "rack"])] == ["mitre saw", "bench", "band", "bar"]


def test_one_label_is_found_by_id_or_code_as_typed():
    code = CODES["B/leg-3"]
    found = chosen_labels(LABELS, only=["mitre saw", f" {code[:4]}-{code[4:]} ".lower()])

    assert [label.id for label in found] == ["mitre saw", "B/leg-3"]


def test_a_label_that_is_not_there_is_refused_with_what_comes_near():
    with pytest.raises(
        Refused, match=r"no label “A/leg-9”\. Give an id or a code, such as A/leg-3, A/leg-2, A/leg-1\."
    ):
        chosen_labels(LABELS, only=["A/leg-9"])


def test_an_unknown_kind_is_refused():
    known = "part, assembly, fixture, station, setup, rack"
    with pytest.raises(Refused, match=rf"no kind of label “jig”\. Give one of {known}\."):
        chosen_labels(LABELS, ["jig"])
