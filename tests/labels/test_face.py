"""A label's face: everything on it, nothing over anything else."""

from itertools import combinations

import pytest
from benchbell.labels.face import ASCENT, BANDS, Arrow, Bar, Symbol, Words, dark_boxes, face_of, square_box
from benchbell.labels.label import KINDS, Label, build_labels
from benchbell.labels.lettering import built_in
from benchbell.labels.paper import LEAST_LABEL_MM, Box
from benchbell.labels.qr import QUIET, best_square
from hypothesis import example, given, settings
from hypothesis import strategies as st
from labels.sample import STARTED

CODE = "BFXR71N8"
SAMPLE = {label.id: label for label in build_labels(STARTED)}


def face(label, width=64, height=38):
    texts = (f"HTTPS://BENCH.LOCAL:8443/P/{CODE}", CODE)
    square = best_square(texts, square_box(width, height, bool(label.code)).width)
    return face_of(label, width, height, square, built_in())


def words_on(face):
    return [shape for shape in face.shapes if isinstance(shape, Words)]


def ink(shape):
    """The box a shape may put ink in: for words from an accented capital's top to a tail's end."""
    if isinstance(shape, Words):
        return Box(shape.x, shape.y - ASCENT * shape.size, shape.width, (ASCENT + 0.22) * shape.size)
    return shape.box


def inside(box, other, slack=1e-6):
    return (
        box.x >= other.x - slack
        and box.y >= other.y - slack
        and box.x + box.width <= other.x + other.width + slack
        and box.y + box.height <= other.y + other.height + slack
    )


def overlap(box, other, slack=1e-6):
    across = min(box.x + box.width, other.x + other.width) - max(box.x, other.x)
    down = min(box.y + box.height, other.y + other.height) - max(box.y, other.y)
    return across > slack and down > slack


def test_the_piece_is_the_largest_letter_on_a_part():
    on_it = {shape.text: shape.size for shape in words_on(face(SAMPLE["A/leg-2"]))}

    assert on_it["A"] == max(on_it.values())
    assert on_it["A"] > 10


def test_a_part_shows_all_it_has_to_say():
    on_it = " ".join(shape.text for shape in words_on(face(SAMPLE["A/leg-2"])))

    for said in ("A", "outside", "Leg 2", "front left", "A meets Stretcher", "“breadboard” ends, front left"):
        assert said in on_it


def test_the_code_is_written_as_wide_as_the_symbol():
    code = next(shape for shape in words_on(face(SAMPLE["A/leg-2"])) if shape.style == "mono")
    symbol = next(shape for shape in face(SAMPLE["A/leg-2"]).shapes if isinstance(shape, Symbol))

    assert code.text[4] == "-"
    assert symbol.box.width * 0.75 < code.width < symbol.box.width
    assert code.y - code.size > symbol.box.y + symbol.box.height - QUIET * symbol.square.module_mm(symbol.box.width)


def test_a_mark_has_an_arrow_and_nothing_else_has():
    with_mark, without = (
        [shape for shape in face(SAMPLE[id]).shapes if isinstance(shape, Arrow)] for id in ("A/leg-1", "A/seat")
    )

    assert (len(with_mark), len(without)) == (1, 0)


def test_pieces_are_white_on_black_for_parts_and_framed_for_assemblies():
    part, assembly = ([s.white for s in words_on(face(SAMPLE[id])) if s.text == "A"] for id in ("A/seat", "A/frame"))

    assert (part, assembly) == ([True], [False])


@pytest.mark.parametrize(("id", "name"), [("mitre saw", "STATION"), ("splay-cut", "SETUP"), ("bar", "CLAMP RACK")])
def test_what_is_no_part_has_a_band_that_names_it(id, name):
    assert name in [shape.text for shape in words_on(face(SAMPLE[id])) if shape.white]


def test_the_quiet_zone_is_four_modules_on_all_sides():
    symbol = next(shape for shape in face(SAMPLE["A/seat"]).shapes if isinstance(shape, Symbol))
    module = symbol.square.module_mm(symbol.box.width)
    dark = list(dark_boxes(symbol))

    # ISO/IEC 18004: four modules. The finder patterns touch all four sides of the symbol.
    assert pytest.approx(symbol.box.x + 4 * module) == min(box.x for box in dark)
    assert pytest.approx(symbol.box.y + 4 * module) == min(box.y for box in dark)
    assert pytest.approx(symbol.box.x + symbol.box.width - 4 * module) == max(box.x + box.width for box in dark)
    assert pytest.approx(symbol.box.y + symbol.box.height - 4 * module) == max(box.y + box.height for box in dark)


said = st.text(max_size=60)
labels = st.builds(
    Label,
    kind=st.sampled_from(KINDS),
    id=st.just("x"),
    code=st.sampled_from(["", CODE]),
    title=st.text(min_size=1, max_size=80),
    piece=st.sampled_from(["", "A", "W", "AB", "Ж"]),
    place=said,
    mark=said,
    mates=st.lists(said, max_size=6).map(tuple),
)


@settings(max_examples=300, deadline=None)
@given(labels, st.floats(LEAST_LABEL_MM[0], 210), st.floats(LEAST_LABEL_MM[1], 210))
@example(Label("rack", "x", "", "W" * 400, "AB", "W " * 200, "W" * 300, ("W" * 200,) * 30), *LEAST_LABEL_MM)
@example(Label("part", "x", CODE, "Ångström", "A", "", "up"), 25.0, 200.0)
def test_nothing_leaves_the_label_or_lies_on_anything_else(label, width, height):
    made = face(label, width, height)
    bars = [shape.box for shape in made.shapes if isinstance(shape, Bar)]

    for shape in made.shapes:
        assert inside(ink(shape), Box(0, 0, width, height)) or inside(ink(shape), bars[0])
    loose = [s for s in made.shapes if not isinstance(s, Bar) and not any(inside_bar(s, bar) for bar in bars)]
    for one, other in combinations(loose, 2):
        assert not overlap(ink(one), ink(other)) or is_code_below(one, other)
    for shape in loose:
        assert not any(overlap(ink(shape), bar) for bar in bars)


def inside_bar(shape, bar):
    """Words on a badge or band: their capitals stand inside it."""
    if not isinstance(shape, Words):
        return False
    return inside(Box(shape.x, shape.y - 0.72 * shape.size, shape.width, 0.72 * shape.size), bar)


def is_code_below(one, other):
    """The code's line box reaches into the quiet zone's last module; its ink, capitals only, does not."""
    return (
        isinstance(one, Symbol)
        and isinstance(other, Words)
        and other.y - 0.72 * other.size >= one.box.y + one.box.height
    )


def test_every_band_names_a_kind_without_code():
    assert set(BANDS) == set(KINDS) - {"part", "assembly"}
