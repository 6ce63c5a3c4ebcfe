"""Label sheets as a PDF: what is printed is read back by other programs."""

import pypdfium2
import pytest
import zxingcpp
from benchbell.bench.happenings import Started
from benchbell.labels.label import Label, address, build_labels
from benchbell.labels.lettering import built_in, from_file
from benchbell.labels.paper import PAPERS, Margins, by_count, by_size, places, roll
from benchbell.labels.pdf import labels_pdf
from benchbell.labels.printing import label_faces
from benchbell.recipe.label_code import label_target, new_code
from labels.sample import CODES, HOST, STARTED
from shipped import RECIPES, compile_file

LABELS = build_labels(STARTED)

LAYOUTS = {
    "A4, 7 × 3": by_count(PAPERS["A4"], 7, 3, Margins()),
    "A4, 7 × 3, first free 20": by_count(PAPERS["A4"], 7, 3, Margins(), first=20),
    "Letter, 2 × 4 in": by_size(PAPERS["Letter"], (101.6, 50.8), Margins(6, 12)),
    "A4, 10 × 4, small": by_count(PAPERS["A4"], 10, 4, Margins()),
    "roll 62 mm": roll(62, 29),
    "roll 29 mm, tall": roll(29, 62),
    "roll 25 mm, smallest": roll(25, 15),
}


def made(layout, labels=LABELS, lettering=None):
    lettering = lettering or built_in()
    faces = label_faces(labels, layout, HOST, lettering).faces
    return pypdfium2.PdfDocument(labels_pdf("Plant stand", faces, layout, lettering))


def seen_in_boxes(document, layout, count, dpi):
    """What a reader finds in each label's box when the sheets are printed at so many dots per inch."""
    pages = [page.render(scale=dpi / 72).to_numpy() for page in document]
    for page, box in places(layout, count):
        left, top, right, bottom = (
            round(side / 25.4 * dpi) for side in (box.x, box.y, box.x + box.width, box.y + box.height)
        )
        found = zxingcpp.read_barcodes(pages[page][top:bottom, left:right], formats=zxingcpp.BarcodeFormat.QRCodeModel2)
        yield [barcode.text for barcode in found]


@pytest.mark.parametrize("dpi", [150, 300])
@pytest.mark.parametrize("name", LAYOUTS)
def test_every_label_is_read_from_the_printed_sheet(name, dpi):
    layout = LAYOUTS[name]
    seen = list(seen_in_boxes(made(layout), layout, len(LABELS), dpi))

    for label, texts in zip(LABELS, seen, strict=True):
        assert len(texts) == 1, f"{label.id}: {texts}"
        assert texts[0] in (address(label, HOST), label.code)
        assert label_target(texts[0]).name in (label.code, label.id.upper().replace(" ", "-"))


def shipped_labels(file):
    """All labels of three pieces of a shipped recipe."""
    sheet = compile_file(file, 3)
    ids = [thing.id for thing in (*sheet.parts, *sheet.assemblies)]
    codes = {id: new_code(2654435761 * 5 * (number + 1) % 2**35) for number, id in enumerate(ids)}
    return build_labels(Started(sheet.title, sheet, "", codes))


def test_there_are_recipes_to_print():
    assert RECIPES


@pytest.mark.parametrize("dpi", [150, 300])
@pytest.mark.parametrize("file", RECIPES, ids=lambda file: file.stem)
def test_every_label_of_every_shipped_recipe_is_read(file, dpi):
    labels = shipped_labels(file)
    layout = LAYOUTS["A4, 7 × 3"]
    seen = list(seen_in_boxes(made(layout, labels), layout, len(labels), dpi))

    assert seen == [[address(label, HOST)] for label in labels]


@pytest.mark.parametrize("file", RECIPES, ids=lambda file: file.stem)
def test_labels_of_shipped_recipes_print_without_a_warning(file):
    findings = label_faces(shipped_labels(file), LAYOUTS["A4, 7 × 3"], HOST, built_in()).findings

    assert [str(finding) for finding in findings] == []


def test_sheets_have_the_papers_size():
    for name, layout in LAYOUTS.items():
        assert pytest.approx(layout.paper, abs=0.01) == [side / 72 * 25.4 for side in made(layout)[0].get_size()], name


def test_words_stay_inside_their_labels_on_paper():
    """As another program measures the letters' ink, so that our own widths are put to the test."""
    layout = LAYOUTS["A4, 7 × 3"]
    document = made(layout)
    boxes = list(places(layout, len(LABELS)))
    for number, page in enumerate(document):
        words = page.get_textpage()
        for index in range(words.count_rects()):
            left, bottom, right, top = (side / 72 * 25.4 for side in words.get_rect(index))
            height = layout.paper[1]

            assert any(
                box.x <= left
                and right <= box.x + box.width
                and box.y <= height - top
                and height - bottom <= box.y + box.height
                for on, box in boxes
                if on == number
            )


def test_the_words_can_be_searched_and_copied():
    text = made(LAYOUTS["A4, 7 × 3"])[0].get_textpage().get_text_range()

    assert f"{CODES['A/leg-1'][:4]}-{CODES['A/leg-1'][4:]}" in text
    assert "Top with" in text
    assert "“breadboard” ends" in text


def test_names_with_markup_or_foreign_letters_print_as_text():
    label = Label("part", "x", CODES["A/seat"], "<b>leg</b> & **x** \\( %", "Ж", "нога椅子", "\x00\x07")
    text = made(roll(80, 50), [label])[0].get_textpage().get_text_range()

    assert "<b>leg</b> & **x** \\( %" in text.replace("\r\n", " ")
    assert "??????" in text


def test_a_font_of_ones_own_writes_its_letters(small_font):
    label = Label("part", "x", CODES["A/seat"], "нога", "A")
    text = made(roll(80, 50), [label], from_file(small_font))[0].get_textpage().get_text_range()

    assert "нога" in text


def test_nothing_to_print_is_a_file_without_labels():
    assert len(made(roll(62, 29), [])) <= 1
