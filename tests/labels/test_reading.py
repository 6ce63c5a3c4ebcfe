"""Labels read as a phone sees them; a wrong code is never taken."""

from collections import defaultdict
from typing import NamedTuple

import numpy
import pytest
import zxingcpp
from benchbell.recipe.label_code import NotALabelCode, label_target
from labels.dirt import CASES, FRAME, pictures
from labels.page_reader import page_reader

EASY = [case for case in CASES if "dirt" not in case and case != "blur 2.5 px"]
"""What a good reader reads without fail; how much of the rest is read is a figure, not a rule."""


LEAST_SHARE = 0.95
"""Of the pictures that zxing-cpp reads, how many the page must read too."""


def texts_in(pixels):
    return [found.text for found in zxingcpp.read_barcodes(pixels, formats=zxingcpp.BarcodeFormat.QRCodeModel2)]


class Read(NamedTuple):
    """What stands on a picture, and what another program and the page read there."""

    text: str
    other: list[str]
    page: list[str]


@pytest.fixture(scope="module")
def reader():
    with page_reader() as reader:
        yield reader


@pytest.fixture(scope="module")
def read(reader):
    """All pictures by case."""
    seen = defaultdict(list)
    for picture in pictures(each=5):
        seen[picture.case].append(Read(picture.text, texts_in(picture.pixels), reader.texts(picture.pixels)))
    return seen


@pytest.mark.parametrize("case", EASY)
def test_a_label_is_read(read, case):
    assert [one.other for one in read[case]] == [[one.text] for one in read[case]]
    assert [one.page for one in read[case]] == [[one.text] for one in read[case]]


def test_a_label_is_read_rightly_or_not_at_all(read):
    for case, seen in read.items():
        for one in seen:
            assert one.other in ([], [one.text]), case
            assert one.page in ([], [one.text]), case


def test_the_page_reads_what_the_reference_reads(read):
    other = [one for seen in read.values() for one in seen if one.other]

    assert sum(one.page == one.other for one in other) >= LEAST_SHARE * len(other)


def test_dirt_that_defeats_the_reference_is_read_by_the_page(read):
    """The second look, at a picture in which all but ink is white."""
    dirty = [one for case, seen in read.items() if "dirt" in case for one in seen]

    assert sum(bool(one.page) for one in dirty) > 2 * sum(bool(one.other) for one in dirty)
    assert sum(bool(one.page) for one in dirty) >= LEAST_SHARE * len(dirty)


def test_corners_are_given_from_the_squares_own_top_left_on(reader):
    """Upside down, the square's own top left is at the bottom right."""
    upright, turned = (next(p.pixels for p in pictures(1) if p.case == case) for case in ("clean", "upside down"))
    (upright_square,), (turned_square,) = (reader.look(pixels, lifted=False) for pixels in (upright, turned))

    assert numpy.allclose(numpy.array(upright_square["corners"]), FRAME - numpy.array(turned_square["corners"]), atol=2)
    assert upright_square["corners"][0] == [min(x) for x in zip(*upright_square["corners"], strict=True)]


def test_no_code_is_read_out_of_noise(reader):
    chance = numpy.random.default_rng(7)
    for size in (1, 3, 6, 12):
        coarse = chance.integers(0, 2, (FRAME[1] // size, FRAME[0] // size)) * 255
        pixels = numpy.kron(coarse, numpy.ones((size, size))).astype(numpy.uint8)
        for text in (*texts_in(pixels), *reader.texts(pixels)):
            with pytest.raises(NotALabelCode):
                label_target(text)
