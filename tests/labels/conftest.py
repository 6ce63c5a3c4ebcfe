"""What tests of labels share: a font of our own making."""

import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen


@pytest.fixture
def small_font(tmp_path):
    """A TrueType file of our own making: some letters, every one of them a box half as wide as high."""
    pen = TTGlyphPen(None)
    pen.moveTo((50, 0))
    for corner in ((50, 700), (450, 700), (450, 0)):
        pen.lineTo(corner)
    pen.closePath()
    box = pen.glyph()
    letters = "?… нога"
    names = [".notdef", *(f"letter{ord(letter):04x}" for letter in letters)]
    builder = FontBuilder(1000)
    builder.setupGlyphOrder(names)
    builder.setupCharacterMap({ord(letter): name for letter, name in zip(letters, names[1:], strict=True)})
    builder.setupGlyf(dict.fromkeys(names, box))
    builder.setupHorizontalMetrics(dict.fromkeys(names, (500, 50)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Boxes", "styleName": "Regular"})
    builder.setupOS2(sTypoAscender=800, usWinAscent=800, usWinDescent=200)
    builder.setupPost()
    builder.save(tmp_path / "boxes.ttf")
    return tmp_path / "boxes.ttf"
