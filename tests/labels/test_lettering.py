"""Letters: how wide they run, and what is written for those that are missing."""

from pathlib import Path

import pytest
from benchbell.findings import Refused
from benchbell.labels.lettering import built_in, from_file, in_a_browser
from hypothesis import given
from hypothesis import strategies as st

# Adobe Core 14 AFM files, thousandths of the letter height (Helvetica, Helvetica-Bold; Courier: 600 throughout).
HELVETICA = {"A": 667, "i": 222, "m": 833, " ": 278, "Å": 667, "€": 556, "–": 556}
HELVETICA_BOLD = {"A": 722, "i": 278, "m": 889, " ": 278}


@pytest.mark.parametrize(("style", "widths"), [("plain", HELVETICA), ("bold", HELVETICA_BOLD), ("mono", {"7": 600})])
def test_letters_run_as_wide_as_the_fonts_own_tables_say(style, widths):
    assert pytest.approx({letter: width / 1000 for letter, width in widths.items()}) == {
        letter: built_in().width(letter, style) for letter in widths
    }


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("Seitenwand größer, 3 ½ – “Ø”", "Seitenwand größer, 3 ½ – “Ø”"),
        ("Półka na książki", "Pólka na ksiazki"),
        ("szekrény ajtó, felső", "szekrény ajtó, felso"),
        ("Đuro ﬁtted", "Duro fitted"),
        ("нога", "????"),
        ("depth ≈45/64 in", "depth ~45/64 in"),
        ("椅子 legs", "?? legs"),
        (" two\n lines\t", "two lines"),
        ("e\u0301tage\u0300re", "étagère"),
    ],
)
def test_missing_letters_are_written_plainly_or_as_question_marks(text, written):
    assert written == built_in().writable(text)


@given(st.text())
def test_what_is_writable_can_be_measured(text):
    for lettering in (built_in(), in_a_browser()):
        for style in ("plain", "bold", "mono"):
            assert lettering.width(lettering.writable(text), style) >= 0


@given(st.text())
def test_a_browser_writes_every_letter(text):
    written = in_a_browser().writable(text)

    assert written.split() == written.split(" ") or written == ""
    assert "?" in text or "?" not in written or "\u037e" in text


def test_a_font_file_brings_its_own_letters_and_widths(small_font):
    lettering = from_file(small_font)

    assert lettering.writable("нога Aé") == "нога ??"
    assert lettering.width("нога", "bold") == 2.0
    assert pytest.approx(0.6) == lettering.width("7", "mono")


@pytest.mark.parametrize("bytes", [b"", b"not a font at all", b"OTTO" + bytes(200)])
def test_a_file_that_is_no_font_is_refused(tmp_path, bytes):
    file = tmp_path / "letters.ttf"
    file.write_bytes(bytes)

    with pytest.raises(Refused, match=r"letters.ttf cannot be read as a font: .* Give a TrueType file \(.ttf\)."):
        from_file(file)


def test_a_font_file_that_is_not_there_is_refused():
    with pytest.raises(Refused, match="cannot be read as a font"):
        from_file(Path("/nowhere/letters.ttf"))
