"""Label sheets as a page to print."""

from html.parser import HTMLParser

import pytest
from benchbell.labels.html import labels_page, page_style
from benchbell.labels.label import Label, build_labels
from benchbell.labels.lettering import in_a_browser
from benchbell.labels.paper import PAPERS, Margins, by_count, roll
from benchbell.labels.printing import label_faces
from hypothesis import given, settings
from hypothesis import strategies as st
from labels.sample import HOST, STARTED

ALLOWED = {"html", "head", "meta", "title", "link", "body", "svg", "g", "path", "polygon", "text"}


class Seen(HTMLParser):
    """The elements, attributes and words of a page."""

    def __init__(self, page):
        super().__init__()
        self.elements, self.attributes, self.words = [], set(), []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.elements.append(tag)
        self.attributes |= {name for name, _ in attrs}

    def handle_data(self, data):
        self.words.append(data)


def page(labels, layout, title="Plant stand"):
    return labels_page(title, label_faces(labels, layout, HOST, in_a_browser()).faces, layout, "labels.css")


def test_one_drawing_a_sheet():
    layout = by_count(PAPERS["A4"], 2, 3, Margins())

    # 17 labels, six a sheet.
    assert Seen(page(build_labels(STARTED), layout)).elements.count("svg") == 3


def test_the_style_puts_one_sheet_on_one_page():
    assert "@page { size: 62mm 29mm; margin: 0 }" in page_style(roll(62, 29))


@settings(max_examples=50, deadline=None)
@given(st.text(max_size=40) | st.sampled_from(['<script>alert("x")</script>', "<svg onload=x>", "'\"><b>", "&lt;"]))
def test_words_are_text_never_markup(said):
    label = Label("part", "x", "BFXR71N8", said or "x", "A", said, said, (said,))
    seen = Seen(page([label], roll(100, 60), said))

    assert set(seen.elements) <= ALLOWED
    assert not {name for name in seen.attributes if name.startswith("on") or name in ("style", "href ")}


@pytest.mark.parametrize("said", ['<script>alert("x")</script>', "Шкаф & 椅子", "“½”"])
def test_words_are_shown_as_written(said):
    shown = "".join(Seen(page([Label("part", "x", "BFXR71N8", said, "A")], roll(120, 60))).words)

    assert said in shown.replace("\n", "")


def test_nothing_is_fetched_but_the_style():
    assert "http://www.w3.org/2000/svg" in (text := page(build_labels(STARTED), roll(62, 29)))
    assert "http" not in text.replace("http://www.w3.org/2000/svg", "")
