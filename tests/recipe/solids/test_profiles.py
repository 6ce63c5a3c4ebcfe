"""Rabbets and mouldings against areas worked by hand, and what the checks make of them."""

from math import pi

import pytest
from benchbell.recipe.solids.contacts import contacts
from benchbell.recipe.solids.faults import weakened
from benchbell.recipe.solids.layout import layout
from benchbell.recipe.solids.profiles import OUTLINES, Profile, taken_share, without_profile
from benchbell.recipe.solids.solid import box, shared, volume
from benchbell.recipe.solids.way_out import has_way_out
from hypothesis import given
from hypothesis import strategies as st
from small_recipes import compiled, work


def laid(*parts):
    """The parts of a piece that are given as id, size, words of lies, and how many there are."""
    rows = [
        f'\n[[part]]\nid = "{id}"\ncount = {count}\nstock = "white ash"\nsize = {size}\nlies = {{ {lies} }}\n'
        for id, size, lies, count in parts
    ]
    text = 'title = "T"\nhangs = true\n' + "".join(rows) + work("work", [part[0] for part in parts])
    return layout(compiled(text).placings, {})


BAR = box((0.0, 0.0, 0.0), (100.0, 40.0, 20.0))


def moulded(shape, far=(12.0, 8.0), axes=(1, 2), sides=(1, 1)):
    """What is left of a bar of 100 × 40 × 20 mm."""
    at = tuple((BAR.high if side > 0 else BAR.low)[axis] for axis, side in zip(axes, sides, strict=True))
    return without_profile([BAR], Profile(shape, axes, sides, at, far))


def test_a_rabbet_leaves_two_bars():
    # By hand: behind the rabbet of 12 × 8 mm, 28 × 20; under it 12 × 12.
    found = moulded("rabbet")

    assert [(one.low, one.high) for one in found] == [
        ((0.0, 28.0, 0.0), (100.0, 40.0, 12.0)),
        ((0.0, 0.0, 0.0), (100.0, 28.0, 20.0)),
    ]


@pytest.mark.parametrize(
    ("shape", "taken"),
    # A quarter of an ellipse with half axes 12 and 8 mm is π/4 · 96 mm²; its corner is what is left of 96 mm² about it.
    # An ogee is a hollow and a round over half of both, and a rectangle of a quarter: 24 + 24 mm² in all.
    [("rabbet", 96), ("cove", pi / 4 * 96), ("ovolo", (1 - pi / 4) * 96), ("ogee", 48)],
)
def test_what_a_moulding_takes_off(shape, taken):
    left = sum(map(volume, moulded(shape)))

    # Drawn in four flats to a quarter: of a round, sin(90°/4) / (90°/4) of its area.
    assert 80_000 - 100 * taken == pytest.approx(left, abs=100 * 0.03 * 96)
    assert left == pytest.approx(80_000 - 100 * 96 * taken_share(shape))


ways = st.tuples(st.sampled_from([(0, 1), (1, 2), (2, 0), (2, 1)]), st.tuples(*[st.sampled_from([-1, 1])] * 2))
depths = st.tuples(st.floats(0.5, 19), st.floats(0.5, 19))


@given(st.sampled_from([*OUTLINES]), depths, ways)
def test_pieces_lie_side_by_side_whichever_edge_it_is(shape, far, way):
    found = moulded(shape, far, *way)
    along = next(n for n in range(3) if n not in way[0])

    assert sum(map(volume, found)) == pytest.approx(80_000 - BAR.high[along] * far[0] * far[1] * taken_share(shape))
    assert not any(volume(common) > 1e-3 for a in found for b in found if a is not b and (common := shared(a, b)))


def case(back):
    """The two sides of a case, with rabbets for its back, and the back where `back` says."""
    rabbet = '{ edge = "back right", x = "10 mm", y = "6 mm", shape = "rabbet" }'
    return laid(
        ("side", ["250 mm", "120 mm", "18 mm"], f'way = "zyx", x = "over 200 mm", off = [{rabbet}]', 2),
        ("back", ["250 mm", "184 mm", "6 mm"], f'way = "zxy", {back}', 1),
    )


def test_a_back_lies_in_its_rabbets_and_shares_no_room_with_the_sides():
    # By hand: 200 over all less 2 × 8 mm that stay behind the rabbets are 184 mm.
    found = contacts(case('y = "to side.back"'))

    assert {(one.a, one.b): one.joint for one in found} == {(0, 2): (), (1, 2): ()}


def test_a_back_too_far_in_for_its_rabbet_runs_into_the_sides():
    parts = case('y = "to side.back - 2 mm"')
    joints = [one for one in contacts(parts) if one.joint]

    # By hand: the sides reach 60 mm to the back, their rabbets 6 mm in; the back begins 2 mm before that, at 52 mm.
    assert [(one.low[1], one.high[1]) for one in joints] == [(52.0, 54.0)] * 2
    assert all(has_way_out(one, parts) for one in joints)


RABBET = ', off = [{ edge = "back bottom", y = "20 mm", z = "20 mm", shape = "rabbet" }]'


# By hand: a rail of 34 mm stands 30 mm deep in a bar of 40 × 40. A rabbet of 20 × 20 leaves 1200 mm² of the bar's
# section, and takes 14 × 10 mm of the room they share.
@pytest.mark.parametrize(("off", "share"), [("", 30 * 34 / 1600), (RABBET, (30 * 34 - 140) / 1200)])
def test_what_a_joint_takes_counts_against_what_a_rabbet_left(off, share):
    parts = laid(
        ("bar", ["500 mm", "40 mm", "40 mm"], f'way = "xyz", z = "from 100 mm"{off}', 1),
        ("rail", ["300 mm", "34 mm", "40 mm"], 'way = "zyx", y = "from -20 mm", z = "from 110 mm"', 1),
    )

    assert [(one.part, one.share) for one in weakened(parts, contacts(parts))] == [(0, pytest.approx(share))]


def frame(depth):
    """A mitred frame of 300 × 400 mm, moulded outside and rabbeted inside, with a pane of that depth in the rabbets."""
    rabbet, ogee = 'y = "12 mm", shape = "rabbet"', 'y = "10 mm", shape = "ogee"'
    mitres = [f'{{ edge = "right {end}", x = "50 mm", z = "50 mm" }}' for end in ("top", "bottom")]
    stile = [
        *mitres,
        f'{{ edge = "right back", x = "8 mm", {rabbet} }}',
        f'{{ edge = "left front", x = "9 mm", {ogee} }}',
    ]

    def rail(inner, outer):
        ends = [f'{{ edge = "{end} {inner}", x = "50 mm", z = "50 mm" }}' for end in ("left", "right")]
        return [
            *ends,
            f'{{ edge = "{inner} back", z = "8 mm", {rabbet} }}',
            f'{{ edge = "{outer} front", z = "9 mm", {ogee} }}',
        ]

    def lies(words, off):
        return f"{words}, off = [{', '.join(off)}]"

    size = ["300 mm", "50 mm", "20 mm"]
    return laid(
        ("stile", ["400 mm", *size[1:]], lies('way = "zxy", x = "over 300 mm"', stile), 2),
        ("low", size, lies('way = "xzy"', rail("top", "bottom")), 1),
        ("high", size, lies('way = "xzy", z = "to 400 mm"', rail("bottom", "top")), 1),
        ("pane", ["316 mm", "216 mm", f"{depth} mm"], 'way = "zxy", y = "to stile.back", z = "from 42 mm"', 1),
    )


def test_mitred_rails_with_rabbets_and_mouldings_meet_and_share_no_room():
    found = {(one.a, one.b): one.joint for one in contacts(frame(12))}

    assert found == dict.fromkeys([(0, 2), (0, 3), (1, 2), (1, 3), (0, 4), (1, 4), (2, 4), (3, 4)], ())


def test_a_pane_deeper_than_its_rabbets_runs_into_all_four():
    assert sum(bool(one.joint) for one in contacts(frame(14))) == 4


def test_a_mitred_rail_weighs_what_is_left_of_it():
    # By hand: between its mitres a stile is 350 mm long in its middle, 308 mm in the middle of its rabbet, 46 mm from
    # the outside, and about 393 mm where the ogee takes its 45 mm².
    stile = sum(map(volume, frame(12)[0].solids))

    assert stile == pytest.approx(50 * 20 * 350 - 8 * 12 * 308 - 45 * 393, rel=0.002)
