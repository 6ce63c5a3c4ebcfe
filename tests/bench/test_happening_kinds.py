"""The table of happening kinds beside the structs."""

from benchbell.bench.clock_kinds import CLOCK_KINDS
from benchbell.bench.forms import forms
from benchbell.bench.happening_kinds import HAPPENING_KINDS
from benchbell.bench.happenings import KINDS


def test_every_kind_has_a_row_and_no_row_lacks_its_kind():
    assert set(KINDS) == set(HAPPENING_KINDS)


def test_a_slot_is_named_by_fields_of_its_kind():
    fields = {kind: set(form) for kind, form in forms().items()}

    assert [kind for kind, row in HAPPENING_KINDS.items() if not set(row.slot) <= fields[kind]] == []


def test_a_mark_is_of_one_operation_and_follows_marks_that_stand_above_it():
    above = []
    for kind, row in HAPPENING_KINDS.items():
        if row.is_mark:
            assert row.slot == ("operation",)
            assert set(row.follows) <= set(above)
            above.append(kind)


def test_only_marks_are_steps_or_have_follows_and_every_mark_has_its_button():
    rows = HAPPENING_KINDS.values()

    assert [row for row in rows if (row.is_step or row.follows) and not row.is_mark] == []
    assert [row for row in rows if row.is_mark != bool(row.button)] == []


def test_a_clock_is_ended_by_a_mark():
    assert [row.name for row in CLOCK_KINDS.values() if row.end and not HAPPENING_KINDS[row.end].is_mark] == []


def test_a_form_says_what_a_field_holds():
    known = forms()

    assert known["glue-on"] == {
        "operation": "text",
        "celsius": "optional nullable number",
        "humidity": "optional nullable number",
    }
    assert known["started"]["codes"] == "map text"
    assert known["started"]["sheet"].startswith("lists pieces sizes parts assemblies setups operations")
    assert known["kept"]["value"] == "any"
