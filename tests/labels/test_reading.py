"""Labels read as a phone sees them; a wrong code is never taken."""

from collections import defaultdict

import numpy
import pytest
import zxingcpp
from benchbell.recipe.code import NotACode, held_in
from labels.dirt import CASES, FRAME, pictures

EASY = [case for case in CASES if "dirt" not in case and case != "blur 2.5 px"]
"""What a good reader reads without fail; how much of the rest is read is a figure, not a rule."""


def texts_in(pixels):
    return [found.text for found in zxingcpp.read_barcodes(pixels, formats=zxingcpp.BarcodeFormat.QRCodeModel2)]


@pytest.fixture(scope="module")
def read():
    """By case, for each picture what is on it and what was read."""
    seen = defaultdict(list)
    for picture in pictures(each=5):
        seen[picture.case].append((picture.text, texts_in(picture.pixels)))
    return seen


@pytest.mark.parametrize("case", EASY)
def test_a_label_is_read(read, case):
    assert [found for _, found in read[case]] == [[text] for text, _ in read[case]]


def test_a_label_is_read_rightly_or_not_at_all(read):
    for case, seen in read.items():
        for text, found in seen:
            assert found in ([], [text]), case


def test_no_code_is_read_out_of_noise():
    chance = numpy.random.default_rng(7)
    for size in (1, 3, 6, 12):
        coarse = chance.integers(0, 2, (FRAME[1] // size, FRAME[0] // size)) * 255
        for text in texts_in(numpy.kron(coarse, numpy.ones((size, size))).astype(numpy.uint8)):
            with pytest.raises(NotACode):
                held_in(text)
