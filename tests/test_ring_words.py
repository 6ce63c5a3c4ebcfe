"""The page, a push and a calendar ask for the same thing in the same words."""

import json
import re

from benchbell.alerts.words import table
from build_page import PWA

ROW = re.compile(r'^ {2}"?([a-z-]+\|[a-z-]+)"?: (?:\[\n\s*)?\[?(".*?"),\s*(".*?"),?\s*\]', re.MULTILINE | re.DOTALL)


def test_the_page_rings_in_the_words_of_pushes_and_calendars():
    source = (PWA / "src/screens/words/rings.ts").read_text(encoding="utf-8")
    page = {name: (json.loads(title), json.loads(text)) for name, title, text in ROW.findall(source)}
    server = {
        f"{kind}|{stage}": words
        for kind, rows in table().items()
        for stage, words in rows.items()
        if stage != "cautions"
    }

    assert server == page
