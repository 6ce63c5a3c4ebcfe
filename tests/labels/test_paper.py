"""Where labels go on paper."""

import math

import pytest
from benchbell.findings import Refused
from benchbell.labels.paper import LEAST_LABEL_MM, PAPERS, Box, Margins, by_count, by_size, places, roll
from hypothesis import given
from hypothesis import strategies as st

NONE = Margins(0, 0)


def test_paper_sizes_are_the_standards():
    # ISO 216: A4 is 210 × 297 mm, A5 148 × 210 mm. ANSI/ASME Y14.1, size A: 8 1/2 × 11 in, 25.4 mm each.
    assert {"A4": (210, 297), "A5": (148, 210), "Letter": pytest.approx((8.5 * 25.4, 11 * 25.4))} == PAPERS


def test_rows_and_columns_share_what_margins_and_gaps_leave():
    layout = by_count(PAPERS["A4"], 7, 3, Margins(left=9, top=15.5, across=6, down=0))

    # By hand: (210 - 18 - 12) / 3 and (297 - 31) / 7.
    assert layout.label == (60, 38)


def test_as_many_labels_as_fit_are_taken():
    layout = by_size(PAPERS["A4"], (63.5, 38.1), Margins(left=7, top=15, across=2.5))

    # By hand: 3 × 63.5 + 2 × 2.5 = 195.5 of 196 mm; 7 × 38.1 = 266.7 of 267 mm.
    assert (layout.rows, layout.columns) == (7, 3)


def test_inches_fit_to_the_last_bit():
    # 8 1/2 in holds two labels of 4 1/4 in, 11 in holds eleven of 1 in.
    layout = by_size(PAPERS["Letter"], (4.25 * 25.4, 25.4), NONE)

    assert (layout.rows, layout.columns) == (11, 2)


def test_labels_run_along_the_rows_and_on_to_the_next_page():
    layout = by_count((100, 90), 2, 2, Margins(10, 10, 20, 10))

    expected = [
        (0, Box(10, 10, 30, 30)),
        (0, Box(60, 10, 30, 30)),
        (0, Box(10, 50, 30, 30)),
        (0, Box(60, 50, 30, 30)),
        (1, Box(10, 10, 30, 30)),
    ]
    assert expected == list(places(layout, 5))


def test_used_labels_on_the_first_sheet_are_left_out():
    used = by_count((100, 90), 2, 2, Margins(10, 10, 20, 10), first=4)

    assert [(page, box.x, box.y) for page, box in places(used, 2)] == [(0, 60, 50), (1, 10, 10)]


def test_each_label_of_a_roll_is_a_page():
    assert [(0, Box(0, 0, 62, 29)), (1, Box(0, 0, 62, 29))] == list(places(roll(62, 29), 2))


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        (
            lambda: by_count((210, 297), 0, 3, NONE),
            "A page of 0 × 3 labels cannot be divided. Give 1 to 100 rows",
        ),
        (
            lambda: by_count((210, 297), 30, 3, NONE),
            "Labels of 70 × 9.9 mm (2.76 × 0.39 in) are too small to read: the least is 25 × 15 mm (0.984 × 0.591 in)",
        ),
        (lambda: by_count((210, 297), 7, 3, Margins(-5, 0)), "with margins of 0 or more"),
        (lambda: by_count((210, 297), 7, 3, NONE, 22), "The first free label is number 22, but a page has 21. Give a"),
        (lambda: by_count((210, 297), 7, 3, NONE, 0), "The first free label is number 0, but a page has 21. Give a"),
        (
            lambda: by_size((210, 297), (300, 50), NONE),
            "A label of 300 × 50 mm (11.8 × 1.97 in) does not fit paper of 210 × 297 mm (8.27 × 11.7 in)",
        ),
        (lambda: by_size((210, 297), (0, 50), NONE), "A label of 0 × 50 mm (0 × 1.97 in) does not fit paper"),
        (lambda: roll(62, 10), "Labels of 62 × 10 mm (2.44 × 0.394 in) are too small to read"),
    ],
)
def test_what_cannot_be_printed_is_refused_with_the_figures(wrong, sentence):
    with pytest.raises(Refused) as refusal:
        wrong()

    assert sentence in str(refusal.value)


papers = st.tuples(st.floats(160, 500), st.floats(160, 500))
labels = st.tuples(st.floats(LEAST_LABEL_MM[0], 100), st.floats(LEAST_LABEL_MM[1], 100))
gaps = st.floats(0, 30)


@given(papers, labels, st.builds(Margins, gaps, gaps, gaps, gaps), st.integers(1, 90))
def test_labels_stay_on_the_paper_and_off_each_other(paper, label, margins, count):
    layout = by_size(paper, label, margins)
    on_paper = list(places(layout, count))

    for number, (page, box) in enumerate(on_paper):
        assert box.x + box.width <= paper[0] - margins.left + 0.01
        assert box.y + box.height <= paper[1] - margins.top + 0.01
        for other_page, other in on_paper[number + 1 :]:
            assert page != other_page or apart(box, other)
    assert math.ceil(count / (layout.rows * layout.columns)) == on_paper[-1][0] + 1
    assert all(size >= least for size, least in zip(layout.label, LEAST_LABEL_MM, strict=True))


def apart(box, other, slack=0.001):
    """Whether two boxes share no more than an edge."""
    beside = box.x + box.width <= other.x + slack or other.x + other.width <= box.x + slack
    return beside or box.y + box.height <= other.y + slack or other.y + other.height <= box.y + slack
