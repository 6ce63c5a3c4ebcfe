import csv
from datetime import UTC
from io import StringIO

import pytest
from benchbell.bench.happenings import ClampsOff
from benchbell.buildlog.csv import OPERATIONS, STORY, operations_csv, story_csv
from benchbell.buildlog.story import build_log
from buildlog.worked import PHONE, worked


@pytest.fixture
def log():
    return build_log("stool", worked(), {PHONE: "bench phone"})


def rows(text):
    return list(csv.reader(StringIO(text)))


def test_every_happening_is_a_row_under_its_heads(log):
    head, *body = rows(story_csv(log, UTC))

    assert tuple(head) == STORY
    assert len(body) == len(log.entries)


def test_rows_end_as_rfc_4180_says(log):
    assert story_csv(log, UTC).count("\r\n") == len(log.entries) + 1


def test_a_cell_that_a_spreadsheet_would_run_is_kept_as_text(log):
    head, *_ = rows(operations_csv(log, UTC))
    notes = [row[3] for row in rows(story_csv(log, UTC)) if row[2] == "noted"]

    assert tuple(head) == OPERATIONS
    assert notes == ["Note: =HYPERLINK(1)"]


def test_what_was_not_recorded_is_an_empty_cell():
    log = build_log("stool", worked(but_not=(ClampsOff,)), {})
    glue = next(row for row in rows(operations_csv(log, UTC)) if row[0] == "A/glue")

    assert glue[OPERATIONS.index("clamp_minutes")] == ""


def test_moments_carry_their_offset(log):
    first = rows(story_csv(log, UTC))[1]

    assert first[0] == "2026-09-21T14:13:20+00:00"
