"""Names and texts for notifications, calendars and the server's bell."""

import pytest
from alerts.sample import SHEET
from benchbell.alerts.words import plain, title_of
from msgspec.structs import replace


def test_an_operation_is_named_with_its_piece_where_it_has_one():
    glue = SHEET.operations[0]

    assert title_of(glue) == "Glue the rim, piece A"
    assert title_of(replace(glue, piece="")) == "Glue the rim"


@pytest.mark.parametrize("text", ["a\r\nBEGIN:VEVENT", "a\nEND:VCALENDAR", "\x1b[31mred", "a\u0085b", "\ud800"])
def test_control_characters_become_spaces(text):
    said = plain(text)

    assert len(text) == len(said) and said.isprintable()
