"""Spans that overlap another: as many as a look at each of them finds."""

from benchbell.plan.report.spans import overlapping, spans_of
from hypothesis import given
from hypothesis import strategies as st

MINUTES = st.integers(0, 30)
LENGTHS = st.lists(st.tuples(MINUTES, st.integers(1, 12)), max_size=8)


@given(LENGTHS, MINUTES, st.integers(1, 12), st.integers(0, 7))
def test_every_span_is_found_that_overlaps_and_no_other(lengths, since, length, but):
    spans = [(begin, n, begin + minutes) for n, (begin, minutes) in enumerate(lengths)]
    until = since + length

    found = overlapping(spans_of(spans), since, until, but)

    assert found == sorted(one for one in spans if one[0] < until and since < one[2] and one[1] != but)


def test_spans_that_only_touch_do_not_overlap():
    spans = spans_of([(0, 0, 10), (20, 1, 30)])

    assert overlapping(spans, 10, 20, 2) == []
    assert overlapping(spans, 9, 21, 2) == [(0, 0, 10), (20, 1, 30)]
