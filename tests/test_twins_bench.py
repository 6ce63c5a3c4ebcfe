"""The bench on the phone and on the server: the same answers over random histories."""

import os
from random import Random

import pytest
from benchbell.bench.air import Reading
from benchbell.bench.book import Book
from benchbell.bench.clocks import clocks, held_by, ringing, rings
from benchbell.bench.sentences import sentence_of
from benchbell.bench.sizes import part_mm, set_values, sizes_of
from benchbell.bench.standing import stands_now
from benchbell.bench.state import bench_of, state_of
from benchbell.buildlog.story import wording_of
from briefs import Open, as_json
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import fields, replace
from strategies import DAY, KINDS, MINUTE, builds, happenings_of, random_sheet, random_value, recorded
from twins import ask_the_page


def bench_at(written, air, moments):
    """Everything that is told of a build at some moments, as Python tells it."""
    book = book_of(written)
    started, bench = book.started(), bench_of(book)
    if started is None or bench is None:
        return None
    sheet, read = started.sheet, [Reading(*reading) for reading in air]
    sizes = {piece: sizes_of(sheet, bench.as_built, piece) for piece in ("", *sheet.pieces)}
    return as_json(
        {
            "bench": bench,
            "moments": [at(sheet, bench, read, now) for now in moments],
            "sizes": sizes,
            "parts": {part.id: part_mm(part, sizes[part.piece]) for part in sheet.parts},
            "setups": {setup.id: set_values(setup, sizes[""]) for setup in sheet.setups},
            "stands": stands_now([Open("b", sheet, bench)]),
        }
    )


def at(sheet, bench, read, now):
    """Clocks, rings and holds at a moment."""
    running = clocks(sheet, bench, read, now)
    return {
        "running": running,
        "rings": [rings(clock, now) for clock in running],
        "ringing": ringing(bench, running, now),
        "holds": {op.id: [clock.kind for clock in held_by(op, running, now)] for op in sheet.operations},
    }


def book_of(written):
    book = Book()
    for h in happenings_of(written):
        book.add(h)
    return book


def nearly(here, there):
    """Equal, but for the last bits of a sine."""
    if isinstance(here, dict) and isinstance(there, dict):
        return here.keys() == there.keys() and all(nearly(here[key], there[key]) for key in here)
    if isinstance(here, list) and isinstance(there, list):
        return len(here) == len(there) and all(map(nearly, here, there))
    if isinstance(here, float) and isinstance(there, float | int):
        return here == pytest.approx(there, rel=1e-9, abs=1e-6)
    return here == there


moment = st.integers(0, 200).map(lambda m: m * MINUTE) | st.integers(0, 5 * DAY)
moments = st.lists(moment, min_size=1, max_size=4)

HISTORIES = int(os.environ.get("HISTORIES", "200"))
"""How many random histories each test looks at: HISTORIES=5000 pytest tests/test_twins_bench.py."""

often = settings(max_examples=HISTORIES, deadline=None)  # the first answer waits for node to start


@often
@given(builds(), moments)
def test_the_phone_tells_the_same_of_any_history(build, moments):
    here = bench_at(build.written, build.air, moments)
    there = ask_the_page("bench_at", build.written, build.air, moments)["answer"]

    assert nearly(here, there), f"{here}\n{there}"


@often
@given(builds(), st.data())
def test_order_and_repetition_do_not_matter(build, data):
    written = build.written
    arrived = shuffled(data, [*written, *written[::2]])

    assert state_of(happenings_of(written)) == state_of(happenings_of(arrived))
    assert ask_the_page("bench_at", written, [], [])["answer"] == ask_the_page("bench_at", arrived, [], [])["answer"]


@often
@given(builds(), st.data())
def test_one_more_happening_tells_what_all_of_them_tell(build, data):
    """What is remembered between two looks never differs from what is worked out anew; nor does it on the phone."""
    arrived, book = shuffled(data, build.written), Book()
    for h in happenings_of(arrived):
        book.add(h)
        bench_of(book)

    assert state_of(happenings_of(arrived)) == bench_of(book)
    assert ask_the_page("state_of", arrived) == ask_the_page("state_step_by_step", arrived)


@often
@given(builds(), st.data())
def test_undoing_an_undoing_leaves_everything_as_it_was(build, data):
    written = build.written
    target = data.draw(st.sampled_from(written))
    before = state_of(happenings_of(written))
    undone = [undoing("undo-1", target["id"], 4 * DAY), undoing("undo-2", "undo-1", 4 * DAY + 1)]

    assert before == state_of(happenings_of(written + undone))


@often
@given(builds(), st.data())
def test_spoiling_a_part_reopens_the_operations_it_goes_through_and_no_other(build, data):
    written = build.written
    before = state_of(happenings_of(written))
    assume(before is not None)
    sheet = written[0]["what"]["sheet"]
    part = data.draw(st.sampled_from([part["id"] for part in sheet["parts"]]))
    after = state_of(happenings_of([*written, spoiling("spoil", part, 4 * DAY)]))
    bearing = {one["id"] for one in sheet["assemblies"] if part in of_any_depth(sheet, one["id"])} | {part}

    for op in sheet["operations"]:
        if bearing.intersection(op["parts"]):
            assert after.operations[op["id"]].status == "spoiled"
            assert not after.operations[op["id"]].marks
        else:
            assert own(before.operations[op["id"]]) == own(after.operations[op["id"]])


@often
@given(builds())
def test_every_happening_is_told_in_the_same_words_on_the_phone(build):
    wording = wording_of(build.sheet)
    here = [sentence_of(h.what, wording) for h in happenings_of(build.written)]

    assert here == ask_the_page("sentences_of", build.written)["answer"]


STRANGE = [None, "so", 1.5, 2**53, 1e300, True, [], {}, ["so"], {"a": "b"}, {"a": 1}]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__struct_config__.tag)
def test_what_is_not_of_its_form_is_told_from_what_is_alike_on_the_phone(kind):
    whole = {"kind": kind.__struct_config__.tag} | {
        field.name: random_value(Random(1), field, random_sheet(Random(1)), ["id"]) for field in fields(kind)
    }
    without = [{name: value for name, value in whole.items() if name != left_out} for left_out in whole]
    spoilt = [{**whole, field.name: value} for field in fields(kind) for value in STRANGE]
    written = [recorded("id", 1, what) for what in [whole, *without[1:], *spoilt]]

    assert [h.what is not None for h in happenings_of(written)] == ask_the_page("are_readable", written)["answer"]


def of_any_depth(sheet, id):
    """The parts and assemblies in an assembly."""
    of = {one["id"]: one["of"] for one in sheet["assemblies"]}
    return {inner for one in of.get(id, ()) for inner in (one, *of_any_depth(sheet, one))}


def own(state):
    """What an operation says of itself, without what it waits for."""
    return replace(state, status="", waits_for=())


def undoing(id, happening, ms):
    return recorded(id, ms, {"kind": "undone", "happening": happening})


def spoiling(id, part, ms):
    return recorded(id, ms, {"kind": "spoiled", "part": part})


def shuffled(data, written):
    """In another order, drawn by one number."""
    return Random(data.draw(st.integers(0, 2**32 - 1))).sample(written, len(written))
