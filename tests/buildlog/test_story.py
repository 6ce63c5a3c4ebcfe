import pytest
from benchbell.bench.book import Book
from benchbell.bench.happenings import ClampsOff, GlueOn, Started
from benchbell.buildlog.learned import Learned, learned
from benchbell.buildlog.story import build_log
from benchbell.buildlog.titles import chosen_text
from buildlog.worked import MINUTE, PHONE, START, happening, undoing, worked
from shipped import FOLDER, compile_file

NAMES = {PHONE: "bench phone"}


@pytest.fixture
def log():
    return build_log("stool", worked(), NAMES)


def operation(log, id):
    return next(op for op in log.operations if op.id == id)


def test_the_story_stands_in_order_and_names_the_device(log):
    assert [e.ms for e in log.entries] == sorted(e.ms for e in log.entries)
    assert {e.who for e in log.entries} == {"bench phone"}
    assert log.entries[0].text == "Build started: Stool <b>one</b>, 1 × Step stool."


def test_a_device_without_a_name_goes_by_its_last_digits():
    log = build_log("stool", worked(), {})

    assert {e.who for e in log.entries} == {"device 00a1"}


def test_a_setup_is_told_as_set_beside_its_plan(log):
    texts = [e.text for e in log.entries if e.kind == "set-up"]

    assert texts == ["Set up the table saw: Dado, blade height 8.2 mm (planned 8 mm). Proved on scrap."]
    assert [(s.setup, s.values, s.proved) for s in log.setups] == [("dado", {"blade height": 8.2}, True)]


def test_a_size_is_told_as_built_beside_the_drawing(log):
    (size,) = log.sizes

    assert (size.name, size.piece, size.plan, size.as_built, size.within) == ("top", "A", 300.0, 298.5, 1.0)


def test_clamp_time_is_told_beside_its_plan_with_the_reason_for_taking_them_off_early(log):
    glue = operation(log, "A/glue")

    assert (glue.planned_clamp_minutes, glue.clamp_minutes) == (60.0, 30.0)
    assert glue.reasons == {"clamps-off": "needed the clamps"}
    assert (glue.celsius, glue.humidity) == (20.0, 45.0)


def test_hands_are_busy_until_the_clamps_are_on(log):
    assert operation(log, "A/glue").hands_minutes == 5.0


def test_what_was_not_recorded_is_none_and_not_reckoned():
    log = build_log("stool", worked(but_not=(ClampsOff, GlueOn)), NAMES)
    glue = operation(log, "A/glue")

    assert (glue.clamp_minutes, glue.celsius, glue.status) == (None, None, "in-clamps")
    assert log.finished_ms is None


def test_work_on_a_spoiled_part_is_told_from_its_second_making(log):
    groove = operation(log, "A/groove")

    assert groove.began_ms == START + 30 * MINUTE
    assert [(one.part, one.reason, one.remade_code) for one in log.lost] == [("A/side-1", "split", "DDDDDDDD")]


def test_what_was_undone_stays_in_the_story_and_says_so():
    log = build_log("stool", undoing(worked(), 11), NAMES)

    assert [e.kind for e in log.entries if e.undone] == ["noted"]


def test_the_build_is_finished_when_its_last_operation_is(log):
    assert (log.started_ms, log.finished_ms) == (START, START + 90 * MINUTE)


def test_a_plan_that_was_well_off_becomes_a_suggestion_and_one_that_was_near_does_not(log):
    assert learned(log) == (Learned("glue", "Glue", 10.0, 5.0, 1),)


def test_what_was_chosen_is_told_with_what_differs_in_a_piece():
    chosen = {"height": "46 cm", "B.height": "44 cm", "B.length": "1100 mm"}
    sheet = compile_file(FOLDER / "hall-bench.toml", 2, chosen=chosen)
    book = Book()
    book.add(happening(1, 0, Started("Two", sheet, "", {})))
    log = build_log("b", book, {})

    assert ["How long is the seat? 1100 mm", "How high is the seat? 46 cm, piece B 44 cm"] == [
        chosen_text(choice) for choice in log.choices
    ]
