"""`benchbell labels`."""

import json

import pypdfium2
import pytest
from benchbell.cli import main
from labels.recorded import NEW_CODE, record_sample
from labels.sample import CODES


@pytest.fixture
def labels(tmp_path, capsys):
    """Runs the command on recorded labels; gives its exit code, what it said, and the PDF's words."""
    record_sample(tmp_path)
    file = tmp_path / "labels.pdf"

    def run(*more):
        code = main(["labels", "--data", str(tmp_path), "--build", "Two plant stands", "--out", str(file), *more])
        words = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(file)] if file.is_file() else []
        return code, capsys.readouterr(), words

    return run


def test_parts_and_assemblies_are_written(labels):
    code, said, (words,) = labels()

    assert (code, said.out.split(":")[0]) == (0, "12 labels on 1 page")
    assert CODES["B/frame"][:4] in words


def test_a_part_made_again_is_printed_with_its_new_code_alone(labels):
    _, _, (words,) = labels("--only", "A/leg-2")

    assert f"{NEW_CODE[:4]}-{NEW_CODE[4:]}" in words
    assert CODES["A/leg-2"][:4] not in words


def test_figures_and_findings_come_as_json(labels):
    code, said, words = labels("--json", "--paper", "roll 25 mm", "--size", "15 mm", "--kind", "station")
    answer = json.loads(said.out)

    assert (code, len(words), answer["labels"], answer["pages"]) == (0, 2, 2, 2)
    assert {finding["rule"] for finding in answer["findings"]} == {"square-too-fine"}


def test_findings_are_sentences_on_the_terminal(labels):
    _, said, _ = labels("--paper", "roll 25 mm", "--size", "15 mm", "--only", "bench")

    assert "warning: bench prints its square with modules of 0." in said.out


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        (("--build", "nobody's"), "There is no build “nobody's”."),
        (("--paper", "B9"), "“B9” is not a known paper."),
        (("--first", "22"), "The first free label is number 22, but a page has 21."),
        (("--copies", "0"), "0 copies of 12 labels cannot be printed"),
        (("--font", "/nowhere.ttf"), "/nowhere.ttf cannot be read as a font"),
        (("--out", "/nowhere/labels.pdf"), "/nowhere/labels.pdf cannot be written"),
    ],
)
def test_what_cannot_be_done_is_said_and_nothing_is_written(labels, more, sentence):
    code, said, words = labels(*more)

    assert (code, words) == (1, [])
    assert sentence in said.err
