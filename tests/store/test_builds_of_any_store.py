"""Starting builds and finding them, as any store must do it."""

import itertools

import pytest
from benchbell.bench.happenings import SHOP, Conditions, Remade, When
from benchbell.findings import Refused
from benchbell.recipe.label_code import BITS, new_code
from benchbell.store.errors import BuildExists
from benchbell.store.record_types import Entry
from labels.sample import STARTED
from msgspec.structs import replace
from scene import PHONE, body, id7

SHEET = STARTED.sheet
ID = {build: id7(build, "f00d") for build in (1, 2, 3)}
PIECES = [*(part.id for part in SHEET.parts), *(assembly.id for assembly in SHEET.assemblies)]


def counting(first=0):
    """Random bytes that are a number, one more each time."""
    numbers = itertools.count(first)
    return lambda length: next(numbers).to_bytes(length)


def start(records, build=1, name="Table", sheet=SHEET, random_bytes=None, followed_by=()):
    return records.start_build(
        ID[build], name, sheet, "the recipe", When(1000), random_bytes or counting(), followed_by
    )


def test_a_started_build_is_found_by_name_and_by_id(ask):
    async def work(records):
        await start(records, 1, "Table")
        await start(records, 2, "Bench")
        await start(records, 3, "Table")
        found = [await records.build_named(name) for name in ("Bench", "Table", ID[1])]
        return found, await records.started_builds(), await records.recorded_builds()

    found, started, recorded = ask(work)

    assert [ID[2], ID[3], ID[1]] == found
    assert [ID[1], ID[2], ID[3]] == started == recorded


def test_a_name_that_no_build_has_is_refused(ask):
    with pytest.raises(Refused, match="There is no build “Chair”"):
        ask(lambda records: records.build_named("Chair"))


def test_every_piece_gets_a_code_of_its_own(ask):
    started = ask(start)

    assert PIECES == list(started.codes)
    assert len(PIECES) == len(set(started.codes.values()))


def test_no_code_is_given_out_twice_however_it_came_into_the_log(ask):
    sent = [
        body(1, kind="remade", part="A/leg", code=new_code(0)),
        body(2, kind="started", codes={"A/leg": new_code(1)}),
        body(3, kind="noted", code=new_code(2)),
    ]

    async def work(records):
        await records.take(PHONE, sent)
        await records.record([Entry(id7(9), When(1000), "stand", (), Remade("A/leg", new_code(3)))])
        one = await start(records, 1, random_bytes=counting())
        other = await start(records, 2, random_bytes=counting())
        return [*one.codes.values(), *other.codes.values()]

    expected = [new_code(2), *(new_code(number) for number in range(4, 2 * len(PIECES) + 3))]

    assert expected == ask(work)
    assert len(expected) < 2**BITS


def test_asking_again_with_the_same_id_starts_no_second_build(ask):
    async def work(records):
        first = await start(records, random_bytes=counting())
        again = await start(records, random_bytes=counting(500))
        return first, again, await records.newest_position()

    first, again, newest = ask(work)

    assert first == again
    assert 1 == newest


@pytest.mark.parametrize(
    "other", [{"name": "Bench"}, {"sheet": replace(SHEET, pieces=(*SHEET.pieces, "Z"))}], ids=["name", "sheet"]
)
def test_an_id_that_belongs_to_another_build_is_refused(ask, other):
    async def work(records):
        await start(records)
        await start(records, **other)

    with pytest.raises(BuildExists, match="is Table"):
        ask(work)


def test_what_followed_is_recorded_with_the_beginning_or_not_at_all(ask):
    followed_by = [Entry(id7(5), When(2000), SHOP, (), Conditions(19.0, 48.0))]

    async def work(records):
        with pytest.raises(Refused):
            await start(
                records, followed_by=[*followed_by, Entry("no UUID", When(3000), SHOP, (), Conditions(19.0, 48.0))]
            )
        before = await records.newest_position()
        await start(records, followed_by=followed_by)
        return before, await records.newest_position(), await records.happenings_of(SHOP)

    before, after, of_shop = ask(work)

    assert (0, 2) == (before, after)
    assert [Conditions(19.0, 48.0)] == [h.what for h in of_shop]
