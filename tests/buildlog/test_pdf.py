from datetime import UTC

import pypdfium2
import pytest
from benchbell.bench.happenings import ClampsOff
from benchbell.buildlog.pdf import CAUTION, log_pdf
from benchbell.buildlog.story import build_log
from benchbell.labels.lettering import built_in
from buildlog.worked import PHONE, worked


def text_of(book):
    log = build_log("stool", book, {PHONE: "bench phone"})
    return words_of(log_pdf(log, UTC, built_in(), lambda sha256: None))


def words_of(pdf):
    document = pypdfium2.PdfDocument(pdf)
    return " ".join(" ".join(page.get_textpage().get_text_bounded().split()) for page in document)


@pytest.fixture(scope="module")
def text():
    return text_of(worked())


def test_names_stand_as_they_were_written(text):
    assert "Stool <b>one</b>" in text


def test_the_caution_stands_on_every_log(text):
    assert CAUTION in text


def test_it_tells_sizes_setups_and_what_was_spoiled(text):
    for words in ("298.5 mm", "blade height 8.2 mm (8 mm)", "split", "DDDDDDDD"):
        assert words in text


def test_a_gap_says_not_recorded():
    assert "not recorded" in text_of(worked(but_not=(ClampsOff,)))
