"""Random crews whose hands differ, and small problems that brute force can solve for them."""

from benchbell.plan.model.problem import Hand, Link, Op, Problem, Window
from hypothesis import strategies as st
from msgspec.structs import replace


@st.composite
def crews(draw, most=3):
    """A few people; the first may do everything, so that nothing is left out for want of hands."""
    away = st.lists(st.tuples(st.integers(0, 500), st.integers(0, 300)), max_size=2)
    unable = st.lists(st.sampled_from(("saw", "planer")), max_size=2, unique=True)
    count = draw(st.integers(1, most))
    return tuple(
        Hand(
            f"hand{n}",
            tuple(draw(unable)) if n else (),
            tuple(Window(start, start + minutes) for start, minutes in draw(away)),
        )
        for n in range(count)
    )


def in_a_row(ops, links=()):
    """Small operations on one day of two windows, so that brute force can try all."""
    return Problem(0, (Window(0, 60), Window(90, 400)), (), {}, ops, links)


@st.composite
def small_problems(draw):
    """Two or three operations at a saw and at the bench, in two windows."""
    count = draw(st.integers(1, 3))
    ops = tuple(
        Op(
            f"op{n}",
            draw(st.sampled_from((5, 20, 40))),
            station=draw(st.sampled_from(("", "saw"))),
            breakable=draw(st.booleans()),
            runs=draw(st.sampled_from((0, 15))),
        )
        for n in range(count)
    )
    ops = tuple(op if op.station else replace(op, runs=0) for op in ops)
    links = tuple(
        Link(f"op{a}", f"op{b}", draw(st.sampled_from((0, 10))))
        for a in range(count)
        for b in range(a + 1, count)
        if draw(st.booleans())
    )
    return in_a_row(ops, links)


@st.composite
def small_crews(draw):
    """Two people, of whom the second may be unable or away."""
    start = 5 * draw(st.integers(0, 16))
    away = (Window(start, start + 5 * draw(st.integers(1, 16))),) if draw(st.booleans()) else ()
    return Hand("Anna", (), draw(st.sampled_from(((), (Window(10, 50),))))), Hand(
        "Otto", draw(st.sampled_from(((), ("saw",)))), away
    )
