"""The demo build: a day's work behind it, and a clock that runs."""

from benchbell.bench.book import Book
from benchbell.bench.clocks import clocks
from benchbell.bench.state import bench_of
from benchbell.commands.demo import begin_demo
from benchbell.store.sqlite_records import ask_records
from scene import settings_in


def book_of(folder):
    """The demo build's book."""

    async def read(records):
        (build,) = await records.started_builds()
        return Book(await records.happenings_of(build))

    return ask_records(folder, read)


def test_a_glue_up_stands_in_clamps_and_all_before_it_is_done(tmp_path):
    settings = settings_in(tmp_path)
    begin_demo(settings)
    book = book_of(settings.data)
    sheet, bench = book.started().sheet, bench_of(book)
    states = [bench.operations[operation.id].status for operation in sheet.operations]
    glue_up = states.index("in-clamps")
    running = {clock.kind for clock in clocks(sheet, bench, (), settings.clock())}

    assert {"done"} == set(states[:glue_up])
    assert "in-clamps" not in states[glue_up + 1 :]
    assert "in-clamps" in running


def test_a_book_with_anything_in_it_is_left_alone(tmp_path):
    settings = settings_in(tmp_path)
    begin_demo(settings)
    before = ask_records(settings.data, lambda records: records.newest_position())
    begin_demo(settings)

    assert before == ask_records(settings.data, lambda records: records.newest_position())
