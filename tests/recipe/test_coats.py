"""Schedules of finish, compiled to operations, clocks and holds that were worked out by hand."""

from itertools import pairwise

from benchbell.durations import HOUR_MS
from benchbell.recipe.sheet import ClockHold
from hypothesis import given
from hypothesis import strategies as st
from small_recipes import PARTS, compiled, operations, rules, sound, work

PLANE = work("plane", ["leg", "rail"])
FACES = 'faces = ["underside", "top"]'
SHELLAC = 'with = "shellac", coats = 2, sand = "P320 by hand", sand_minutes = 10'
OIL = 'with = "hardwax-oil", coats = 2'


def finished(*tables, keys="minutes = 15", after=""):
    """The text of a stool whose legs and rail are finished by these tables of coats."""
    coats = "".join(f"  {{ {table} }},\n" for table in tables)
    return PARTS + PLANE + work("finish", ["leg", "rail"], f"{keys}\ncoat = [\n{coats}]") + after


def told(text):
    """By operation's name: title, holds, and the hours of each clock that waits, but for wiping and rags."""
    waits = ("recoat", "rest", "cure")
    return {
        name: (
            op.title,
            [(hold.operation.rpartition("/")[2], hold.clock) for hold in op.holds],
            {clock.kind: (clock.least_ms or 0) / HOUR_MS for clock in op.clocks if clock.kind in waits},
        )
        for name, op in operations(text).items()
        if name != "plane"
    }


def test_shellac_then_oil_on_both_faces_is_worked_as_by_hand():
    # Shellac: 1 h between coats. Hardwax oil: 12 h, 2 days to handle, 21 days to cure. The finishes' table.
    text = finished(f"{SHELLAC}, {FACES}", f"{OIL}, {FACES}", after=work("pack", ["leg", "rail"]))

    assert told(text) == {
        "finish-1": ("Finish, underside: shellac, coat 1 of 2", [], {"recoat": 1}),
        "finish-sand-2": (
            "Finish, underside: sand between coats, after coat 1 of shellac", [("finish-1", "recoat")], {},
        ),
        "finish-2": ("Finish, underside: shellac, coat 2 of 2", [], {"recoat": 1}),
        "finish-3": ("Finish, top: shellac, coat 1 of 2", [("finish-2", "recoat")], {"recoat": 1}),
        "finish-sand-4": ("Finish, top: sand between coats, after coat 1 of shellac", [("finish-3", "recoat")], {}),
        "finish-4": ("Finish, top: shellac, coat 2 of 2", [], {"recoat": 1}),
        "finish-5": (
            "Finish, underside: hardwax oil, coat 1 of 2",
            [("finish-2", "recoat"), ("finish-4", "recoat")],
            {"recoat": 12},
        ),
        "finish-6": (
            "Finish, underside: hardwax oil, coat 2 of 2", [("finish-5", "recoat")], {"rest": 12, "cure": 21 * 24},
        ),
        "finish-7": (
            "Finish, top: hardwax oil, coat 1 of 2", [("finish-4", "recoat"), ("finish-6", "rest")], {"recoat": 12},
        ),
        "finish-8": (
            "Finish, top: hardwax oil, coat 2 of 2", [("finish-7", "recoat")], {"rest": 48, "cure": 21 * 24},
        ),
        "pack": ("Pack", [("finish-8", "rest")], {}),
    }  # fmt: skip
    assert rules(text) == []


def test_six_coats_of_one_finish_have_five_sandings():
    text = PARTS + work("shellac", ["leg"], f"coat = {{ {SHELLAC.replace('2', '6', 1)} }}")
    titles = [op.title for op in operations(text).values()]

    assert titles[:4] == [
        "Shellac, coat 1 of 6", "Shellac: sand between coats, after coat 1",
        "Shellac, coat 2 of 6", "Shellac: sand between coats, after coat 2",
    ]  # fmt: skip
    assert len(titles) == 11


def test_a_sanding_is_work_at_the_sanding_station_with_its_own_words_and_minutes():
    text = finished(
        SHELLAC, keys='minutes = 15\ndo = "x"\ncheck = ["No runs"]\nneeds = ["brush"]'.replace('do = "x"\n', "")
    )
    sanding, coat = operations(text)["finish-sand-2"], operations(text)["finish-2"]

    assert (sanding.step, sanding.station, sanding.do, sanding.minutes) == ("work", "sanding", ("P320 by hand",), 10)
    assert (sanding.parts, sanding.checks, sanding.needs, sanding.finish) == (coat.parts, (), (), "")
    assert "dust" in sanding.cautions and "solvent-fumes" not in sanding.cautions
    assert (coat.step, coat.station, coat.minutes, coat.checks, coat.needs) == (
        "coat", "finishing", 15, ("No runs",), ("brush",),
    )  # fmt: skip


def test_each_kind_of_coat_has_words_and_minutes_of_its_own():
    text = finished('with = "shellac", do = "Long strokes.", minutes = { each = 4 }', 'with = "waterborne"')
    found = operations(text)

    assert (found["finish-1"].do, found["finish-1"].minutes) == (("Do it.", "Long strokes."), 12)
    assert (found["finish-2"].do, found["finish-2"].minutes) == (("Do it.",), 15)


def test_each_piece_has_its_own_and_each_part_is_ticked():
    sheet = sound(finished(SHELLAC), 2)
    names = [op.id for op in sheet.operations if op.name.startswith("finish")]

    assert names == [f"{piece}/finish-{name}" for name in ("1", "sand-2", "2") for piece in "AB"]
    by_id = {op.id: op for op in sheet.operations}
    assert by_id["B/finish-sand-2"].parts == ("B/leg-1", "B/leg-2", "B/rail")
    assert by_id["B/finish-sand-2"].holds == (ClockHold("B/finish-1", "recoat"),)


def test_a_table_may_stand_alone_as_before():
    assert operations(PARTS + work("oil", ["leg"], f"coat = {{ {OIL} }}")) == operations(
        PARTS + work("oil", ["leg"], f"coat = [{{ {OIL} }}]")
    )


def test_a_time_until_it_is_turned_over_is_a_rest_of_its_own():
    text = finished(f'with = "shellac", coats = 1, turn = "3 h", {FACES}', 'with = "waterborne"')

    assert told(text)["finish-1"][2] == {"recoat": 1, "rest": 3}
    assert told(text)["finish-2"][1] == [("finish-1", "rest")]
    assert told(text)["finish-3"][1] == [("finish-2", "recoat"), ("finish-1", "recoat")]


def test_faces_in_turn_coat_by_coat_are_written_as_tables():
    each = f'with = "shellac", {FACES}'

    assert [title for title, _, _ in told(finished(each, each)).values()] == [
        "Finish, underside, coat 1 of 2", "Finish, top, coat 1 of 2",
        "Finish, underside, coat 2 of 2", "Finish, top, coat 2 of 2",
    ]  # fmt: skip
    assert told(finished(each, each))["finish-3"][1] == [("finish-1", "recoat"), ("finish-2", "recoat")]


def test_sanding_takes_the_place_of_the_windows_end_unless_the_recipe_writes_one():
    # Oil varnish: 24 h to 3 d, later it is scuffed first.
    def end(more):
        first = operations(finished(f'with = "oil-varnish", coats = 2{more}'))["finish-1"]
        return next(clock.most_ms for clock in first.clocks if clock.kind == "recoat")

    assert end("") == 72 * HOUR_MS
    assert end(', sand = "P320"') is None
    assert end(', sand = "P320", recoat_most = "5 d"') == 120 * HOUR_MS


def test_a_window_that_ends_holds_the_coat_as_well_as_the_sanding():
    text = finished('with = "oil-varnish", coats = 2, sand = "P320", recoat_most = "5 d"')

    assert told(text)["finish-2"][1] == [("finish-1", "recoat")]


def test_a_finish_of_one_coat_may_be_handled_before_another_goes_on():
    # Two-part hardwax oil has no recoat time: a day until it may be handled.
    assert told(finished('with = "hardwax-oil-2"', 'with = "shellac"'))["finish-1"][2] == {"recoat": 24}


def test_a_wait_beside_coats_is_the_time_after_the_last():
    found = told(finished(OIL, keys='wait = "5 d"', after=work("pack", ["leg"])))

    assert found["finish-1"][2] == {"recoat": 12}
    assert found["finish-2"][2] == {"rest": 120, "cure": 21 * 24}
    assert found["pack"][1] == [("finish-2", "rest")]


def test_a_wait_after_the_last_coat_holds_a_later_finish():
    after = work("varnish", ["leg", "rail"], 'coat = { with = "waterborne" }')
    text = finished('with = "linseed-oil"', keys='wait = "30 d"\nwait_most = "60 d"', after=after)

    assert told(text)["finish"][2] == {"recoat": 30 * 24}
    assert told(text)["varnish"][1] == [("finish", "recoat")]
    assert rules(text) == []


def test_each_face_cures_from_its_own_last_coat():
    # Shellac 7 days, waterborne 30 days: the finishes' table.
    under, top = 'with = "shellac", coats = 2, faces = ["underside"]', 'with = "waterborne", faces = ["top"]'
    cures = {name: waits.get("cure") for name, (_, _, waits) in told(finished(under, top)).items()}

    assert cures == {"finish-1": None, "finish-2": 7 * 24, "finish-3": 30 * 24}


def test_a_face_that_another_operation_finishes_cures_by_itself():
    after = work("varnish", ["leg", "rail"], 'coat = { with = "waterborne", faces = ["top"] }')
    under = told(finished('with = "shellac", faces = ["underside"]', after=after))
    over = told(finished('with = "shellac", faces = ["top"]', after=after))

    assert under["finish"][2] == {"recoat": 1, "cure": 7 * 24}
    assert over["finish"][2] == {"recoat": 1}


def test_a_coat_of_which_a_part_is_coated_again_does_not_count_as_cured():
    after = work("varnish", ["leg"], 'coat = { with = "waterborne" }')

    assert told(finished('with = "shellac"', after=after))["finish"][2] == {"recoat": 1}


def test_what_lies_on_another_face_is_not_under_a_coat():
    under = 'with = "linseed-oil", faces = ["underside"]'

    assert rules(finished(under, 'with = "waterborne", faces = ["top"]')) == []
    assert rules(finished(under, 'with = "waterborne"')) == ["water-over-oil"]


tables = st.lists(
    st.fixed_dictionaries(
        {"finish": st.sampled_from(("shellac", "hardwax-oil", "oil-varnish")), "coats": st.integers(1, 3)},
        optional={"faces": st.sampled_from((1, 2)), "sand": st.just("P320"), "turn": st.just("2 h")},
    ),
    min_size=1,
    max_size=4,
)


@given(tables, st.integers(1, 2))
def test_every_schedule_is_one_chain_in_which_no_coat_comes_before_those_under_it_are_dry(schedule, pieces):
    texts = []
    for table in schedule:
        faces = ["underside", "top"][: table.get("faces", 0)]
        more = [f"faces = {faces}".replace("'", '"')] if faces else []
        more += [f'{key} = "{table[key]}"' for key in ("sand", "turn") if key in table]
        texts.append(", ".join([f'with = "{table["finish"]}"', f"coats = {table['coats']}", *more]))
    sheet = compiled(finished(*texts), pieces)
    clocks = {op.id: {clock.kind for clock in op.clocks} for op in sheet.operations}
    chain = [op for op in sheet.operations if op.piece == sheet.pieces[-1] and op.name.startswith("finish")]
    coats = [op for op in chain if op.step == "coat"]

    assert [finding for finding in sheet.findings if finding.grade == "error"] == []
    assert len(coats) == sum(table["coats"] * table.get("faces", 1) for table in schedule)
    assert len({op.title for op in coats}) == len(coats)
    for earlier, later in pairwise(chain):
        assert later.after == (earlier.id,)
        assert {hold.clock for hold in later.holds} <= {"recoat", "rest"}
        assert all(hold.clock in clocks[hold.operation] for hold in later.holds)
        if earlier.step == "coat":
            assert earlier.id in {hold.operation for hold in later.holds}
