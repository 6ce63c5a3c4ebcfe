"""Words into a box."""

import pytest
from benchbell.labels.fitting import LEADING, LEAST_MM, Block, fit
from benchbell.labels.lettering import built_in
from hypothesis import given
from hypothesis import strategies as st


def fitted(texts, width, height, largest=5.0):
    blocks = [Block(built_in().writable(text), 1.0, "plain") for text in texts]
    return fit(blocks, width, height, largest, built_in())


def words(texts):
    return " ".join(texts).split()


def test_words_with_room_are_as_large_as_they_may_be():
    assert [(line.text, line.size) for line in fitted(["Leg 2"], 50, 20).lines] == [("Leg 2", 5.0)]


def test_long_words_are_wrapped_then_made_smaller():
    lines = fitted(["Stretcher between the back legs"], 30, 12).lines

    assert [line.text for line in lines] != ["Stretcher", "between the", "back legs"]
    assert words(["Stretcher between the back legs"]) == words(line.text for line in lines)


def test_a_word_wider_than_the_box_is_broken():
    lines = fitted(["Schubkastenvorderstückverbindung"], 12, 20).lines

    assert len(lines) > 1
    assert "".join(line.text for line in lines) == "Schubkastenvorderstückverbindung"


def test_what_does_not_fit_is_counted():
    lines = fitted(["Leg", *(f"meets rail {n}" for n in range(20))], 30, 6 * LEAST_MM * LEADING).lines

    assert lines[-1].text == "and 16 more"
    assert lines[0].text == "Leg"


def test_a_title_too_long_for_the_label_ends_in_dots():
    result = fitted(["rail " * 500], 20, 10)

    assert result.lines[-1].text.endswith("…")
    assert not result.whole


texts = st.lists(st.text(min_size=1, max_size=80).filter(str.split), min_size=1, max_size=8)


@given(texts, st.floats(5, 80), st.floats(2.5, 60))
def test_lines_never_leave_the_box(texts, width, height):
    result = fitted(texts, width, height)

    assert sum(line.size for line in result.lines) * LEADING <= height + 1e-9
    for line in result.lines:
        assert built_in().width(line.text, line.style) * line.size <= width + 1e-9


@given(texts, st.floats(5, 80), st.floats(2.5, 60))
def test_no_word_is_lost_unless_it_is_said(texts, width, height):
    result = fitted(texts, width, height)
    shown = "".join(line.text for line in result.lines).replace(" ", "")
    wanted = "".join(built_in().writable(text) for text in texts).replace(" ", "")

    assert (shown == wanted) == result.whole or "…" in wanted or "more" in wanted


@pytest.mark.parametrize("height", [2.0, 4.0, 9.0])
def test_letters_are_never_smaller_than_can_be_read(height):
    assert all(line.size >= LEAST_MM for line in fitted(["Leg 2", "front left"], 40, height).lines)
