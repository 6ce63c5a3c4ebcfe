"""Paper and labels in the maker's words."""

import pytest
from benchbell.findings import Refused
from benchbell.labels.label import build_labels
from benchbell.labels.options import Asked, chosen, copies_of, layout_of
from labels.sample import CODES, STARTED

LABELS = build_labels(STARTED)


def test_nothing_said_is_a_sheet_of_21():
    layout = layout_of(Asked())

    assert (layout.paper, layout.rows, layout.columns) == ((210, 297), 7, 3)


@pytest.mark.parametrize(
    ("asked", "paper", "label"),
    [
        (Asked("letter", 1, 1, margins="0 mm"), (215.9, 279.4), (215.9, 279.4)),
        (Asked("100 mm x 150 mm", 3, 2, margins="0 mm"), (100, 150), (50, 50)),
        (Asked("4 in × 6 in", 1, 1, margins="0 mm"), (101.6, 152.4), (101.6, 152.4)),
        (Asked("A4", size="63.5 mm x 38 mm"), (210, 297), (63.5, 38)),
        (Asked("A4", 2, 2, margins="5 mm x 8.5 mm", gaps="10 mm"), (210, 297), (95, 135)),
        (Asked("roll 62 mm", size="29 mm"), (62, 29), (62, 29)),
        (Asked("Roll 50 mm"), (50, 30), (50, 30)),
    ],
)
def test_sizes_are_read_in_any_unit(asked, paper, label):
    layout = layout_of(asked)

    assert layout.paper == pytest.approx(paper)
    assert layout.label == pytest.approx(label)


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (Asked("B9"), "“B9” is no paper known here. Give A4, A5, Letter, 100 mm x 150 mm, or roll 62 mm."),
        (Asked("roll"), "“” as paper cannot be read"),
        (Asked("roll 62"), "“62” as paper is no length. Write it with its unit, as 62 mm or 2 1/4 in."),
        (Asked(size="1 mm x 2 mm x 3 mm"), "“1 mm x 2 mm x 3 mm” as size is more than two sizes."),
        (Asked(margins="wide"), "“wide” as margins cannot be read"),
        (Asked(rows=0), "A sheet of 0 × 3 labels cannot be cut. Give 1 to 100 rows and columns."),
        (Asked(rows=4, size="60 mm x 30 mm"), "Both a label's size and rows or columns are given."),
        (Asked(first=22), "The first free label is number 22, and a sheet has 21."),
    ],
)
def test_what_cannot_be_cut_is_refused(asked, sentence):
    with pytest.raises(Refused) as refusal:
        layout_of(asked)

    assert sentence in str(refusal.value)


@pytest.mark.parametrize(("copies", "labels"), [(0, 1), (51, 1), (50, 101)])
def test_more_copies_than_anybody_prints_are_refused(copies, labels):
    with pytest.raises(Refused, match=f"{copies} copies of {labels} labels cannot be printed"):
        copies_of(Asked(copies=copies), labels)


def test_parts_and_assemblies_are_printed_when_nothing_is_said():
    assert {label.kind for label in chosen(LABELS)} == {"part", "assembly"}
    assert {label.id for label in chosen(LABELS)} == CODES.keys()


def test_kinds_can_be_chosen():
    assert [label.id for label in chosen(LABELS, ["Station", "rack"])] == ["mitre saw", "bench", "band", "bar"]


def test_one_label_is_found_by_id_or_code_as_typed():
    code = CODES["B/leg-3"]
    found = chosen(LABELS, only=["mitre saw", f" {code[:4]}-{code[4:]} ".lower()])

    assert [label.id for label in found] == ["mitre saw", "B/leg-3"]


def test_a_label_that_is_not_there_is_refused_with_what_comes_near():
    with pytest.raises(
        Refused, match=r"no label “A/leg-9”\. Give an id or a code, such as A/leg-3, A/leg-2, A/leg-1\."
    ):
        chosen(LABELS, only=["A/leg-9"])


def test_an_unknown_kind_is_refused():
    with pytest.raises(Refused, match=r"no kind of label “jig”\. Give one of part, assembly, station, setup, rack\."):
        chosen(LABELS, ["jig"])
