"""The square: how small it may be, how much dirt it bears, and what it holds."""

import numpy
import pytest
import zxingcpp
from benchbell.findings import Refused
from benchbell.labels.qr import LEAST_MODULE_MM, best_square, blocks, units, version_of
from hypothesis import given, settings
from hypothesis import strategies as st

ADDRESS = "HTTPS://BENCH.LOCAL:8443/P/BFXR71N8"
CODE = "BFXR71N8"

# ISO/IEC 18004, symbol capacity, alphanumeric characters, versions 1 to 6. Levels Q and H from the number of data
# codewords: 8n - 13 bits, 11 for two characters, 6 for a single one.
CAPACITY = {"Q": (16, 29, 47, 67, 87, 108), "H": (10, 20, 35, 50, 64, 84)}

# ISO/IEC 18004, Table of alphanumeric mode: digits, capitals, space and eight signs.
ALPHANUMERIC = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"


def picture(rows, scale=4):
    """Grey pixels of a symbol with its quiet zone."""
    dark = numpy.pad(numpy.array(rows, dtype=bool), 4)
    return numpy.kron(numpy.where(dark, 0, 255), numpy.ones((scale, scale))).astype(numpy.uint8)


@pytest.mark.parametrize("level", CAPACITY)
@pytest.mark.parametrize("version", range(1, 7))
def test_the_smallest_version_holds_what_the_standard_says(level, version):
    most = CAPACITY[level][version - 1]

    assert version == version_of("Z" * most, level)
    assert version + 1 == version_of("Z" * (most + 1), level)


def test_a_symbol_is_17_and_4_modules_a_version_wide():
    # ISO/IEC 18004: 17 + 4v modules a side, 4 modules quiet on each.
    square = best_square([ADDRESS], 30)

    assert square.version == 3
    assert 17 + 4 * 3 == len(square.rows) == len(square.rows[0])
    assert units(3) == 17 + 4 * 3 + 2 * 4


def test_the_highest_correction_is_taken_while_modules_print_large_enough():
    square = best_square([ADDRESS + "0", CODE], 30)

    assert (square.level, square.version) == ("H", 4)
    assert square.module_mm(30) == 30 / 41


def test_less_correction_is_taken_before_modules_get_too_fine():
    square = best_square([ADDRESS + "0", CODE], 15.5)

    assert (square.level, square.version, square.text) == ("Q", 3, ADDRESS + "0")
    assert square.module_mm(15.5) >= LEAST_MODULE_MM


def test_the_code_alone_is_taken_where_the_address_gets_too_fine():
    square = best_square([ADDRESS, CODE], 12)

    assert (square.level, square.version, square.text) == ("H", 1, CODE)


def test_where_nothing_prints_well_the_largest_modules_are_taken():
    assert ((square := best_square([ADDRESS, CODE], 5)).level, square.version, square.text) == ("H", 1, CODE)


def test_an_address_beyond_every_symbol_is_refused():
    with pytest.raises(Refused, match=r"too long for a QR symbol\. Give the server a shorter host name\."):
        best_square(["Z" * 5000], 30)


def test_blocks_cover_the_dark_modules_once_and_nothing_else():
    square = best_square([ADDRESS], 30)
    drawn = numpy.zeros((29, 29), dtype=int)
    for row, column, rows, columns in blocks(square):
        drawn[row : row + rows, column : column + columns] += 1

    assert numpy.array_equal(numpy.array(square.rows, dtype=int), drawn)


@settings(deadline=None, max_examples=30)
@given(st.text(ALPHANUMERIC, min_size=1, max_size=60) | st.text(min_size=1, max_size=30), st.floats(5, 60))
def test_every_square_is_read_back_by_another_program(text, side_mm):
    square = best_square([text], side_mm)
    (seen,) = zxingcpp.read_barcodes(picture(square.rows), formats=zxingcpp.BarcodeFormat.QRCodeModel2)

    assert text.encode() == seen.bytes
    assert (square.level, str(square.version)) == (seen.ec_level, seen.extra["Version"])
